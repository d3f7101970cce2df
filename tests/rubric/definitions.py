"""Random rubrics that hold together, for properties."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from rubric.definition import (
    AtLeast,
    Before,
    Credit,
    Definition,
    Effect,
    Element,
    GlobalRating,
    Grid,
    Hazard,
    Level,
    Section,
    Technique,
    Within,
    select,
)

# Whatever a file may hold: letters of any script, signs that YAML reads as its own.
CHARACTERS = st.one_of(
    st.sampled_from("abc ABC019.,:;-?{}[]'\"\\#&*!|>%@`~ éßж脈ع\u200f\u00a0😀"),
    st.characters(
        blacklist_categories=("Cc", "Cs"),
        blacklist_characters="\u2028\u2029\ufeff\ufffe\uffff",
    ),
)
BRACES = str.maketrans("{}", "()")


def lines(longest=30):
    texts = st.text(CHARACTERS, min_size=1, max_size=longest).map(str.strip)
    awkward = st.sampled_from(
        ["true", "null", "~", "1e5", "0x1F", "yes", "- a", "a: b", ".5"]
    )
    return st.one_of(texts, awkward).filter(bool)


notes = (
    st.lists(st.text(CHARACTERS, max_size=20), max_size=3).map("\n".join).map(str.strip)
)


def numbers(high):
    return st.integers(0, 20).flatmap(
        lambda places: st.integers(0, high * 10**places).map(
            lambda n: Fraction(n, 10**places)
        )
    )


shares = numbers(1)
percents = numbers(100)
points = numbers(10_000)
words = st.from_regex(r"[a-zé0-9]{1,4}(-[a-z0-9]{1,3})?", fullmatch=True)
names = st.lists(
    st.from_regex(r"[A-Za-z][a-z0-9]{0,3}( [a-z0-9]{1,3})?", fullmatch=True),
    max_size=3,
    unique_by=str.lower,
)
effects = st.one_of(
    st.sampled_from([Effect("flag"), Effect("fail")]),
    st.builds(Effect, st.sampled_from(["cap", "deduct"]), percents),
)
halves = st.none() | shares
credits_ = st.builds(Credit, halves, halves)
levels = st.lists(lines(10), min_size=2, max_size=7, unique=True).flatmap(
    lambda labels: st.lists(shares, min_size=len(labels), max_size=len(labels)).map(
        lambda credit: tuple(map(Level, labels, sorted(credit)))
    )
)
both = {
    "technique": st.sampled_from(Technique),
    "critical": st.none() | effects,
    "credit": credits_,
    "source": notes,
    "may_excuse": st.booleans(),
    "say": st.lists(lines(8), max_size=3, unique=True).map(tuple),
}


def elements(key):
    return st.builds(
        Element,
        key=st.just(key),
        text=lines(),
        points=points,
        expects=notes,
        levels=st.just(()) | levels,
        **both,
    )


def grids(key):
    plain = lines().map(lambda text: text.translate(BRACES))
    weights = st.tuples(st.sampled_from(["points", "points_shared"]), points)
    return st.builds(
        lambda weight, sites, **rest: Grid(
            key=key, sites=sites, **{weight[0]: weight[1]}, **rest
        ),
        weight=weights,
        sites=names.filter(bool).map(tuple),
        sides=names.map(tuple),
        instruments=names.map(tuple),
        text=plain.map(lambda text: f"{text} {{site}}"),
        expects=notes.map(lambda text: text.translate(BRACES)),
        **both,
    )


@st.composite
def sections(draw, number):
    key = f"s{number}-{draw(words)}"
    kinds = draw(st.lists(st.sampled_from([elements, grids]), min_size=1, max_size=4))
    parts = tuple(draw(kind(f"{key}.p{n}")) for n, kind in enumerate(kinds))
    return Section(key, draw(lines()), parts, draw(st.none() | percents))


@st.composite
def rules(draw, definition, number):
    """A rule of any kind over what the rubric holds."""
    head = {"key": f"rule-{number}", "text": draw(lines()), "effect": draw(effects)}
    keys = [element.key for element in definition.elements]
    kind = draw(st.sampled_from([AtLeast, Before, Hazard, Within]))
    if kind is Within:
        return Within(**head, minutes=draw(numbers(1440)))
    if kind is AtLeast:
        groups = [f"{section.key}.*" for section in definition.sections]
        some = st.sampled_from([*keys, *groups])
        of = draw(st.lists(some, min_size=1, max_size=3, unique=True))
        count = draw(st.integers(1, len(select(definition, of))))
        return AtLeast(**head, count=count, of=tuple(of))
    if kind is Before and len(keys) > 1:
        at = draw(st.integers(1, len(keys) - 1))
        first, then = tuple(keys[max(0, at - 5) : at]), tuple(keys[at : at + 5])
        of_grids = all(
            definition.elements[definition.index[key]].site for key in (*first, *then)
        )
        per = draw(st.sampled_from([None, "site"])) if of_grids else None
        return Before(
            **head, first=first, then=then, per=per, slack_seconds=draw(numbers(3600))
        )
    return Hazard(**head)


@st.composite
def definitions(draw):
    made = tuple(draw(sections(n)) for n in range(draw(st.integers(1, 3))))
    ratings = st.lists(lines(10), min_size=3, max_size=7, unique=True).flatmap(
        lambda words: st.builds(
            GlobalRating, st.just(tuple(words)), st.integers(1, len(words))
        )
    )
    definition = Definition(
        title=draw(lines()),
        sections=made,
        pass_percent=draw(percents),
        language=draw(st.sampled_from(["en", "de", "pt-BR", "zh-Hant", "no"])),
        unseen_limit_percent=draw(percents),
        unseen=draw(st.sampled_from(["exclude", "range"])),
        credit=Credit(draw(shares), draw(shares)),
        global_rating=draw(st.none() | ratings),
    )
    numbered = range(draw(st.integers(0, 3)))
    return replace(
        definition, rules=tuple(draw(rules(definition, n)) for n in numbered)
    )
