"""Rubrics and sheets of every kind the format allows, small enough to try them all."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import strategies as st

from grading.scoring import Mark, Ruling, Sheet, Sighting
from rubric.definition.values import (
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
    State,
    Technique,
    Within,
)

percents = st.sampled_from([0, 40, 50, 75, Fraction("66.6"), 100]).map(Fraction)
credits = st.sampled_from([0, Fraction(1, 4), Fraction(1, 3), Fraction(1, 2), 1]).map(
    Fraction
)
points = st.sampled_from([0, 1, 2, Fraction("0.1"), Fraction("1.5"), 7]).map(Fraction)
moments = st.sampled_from([Decimal(t) for t in ("0", "4", "9", "9.5", "14.25", "30")])
times = st.integers(0, 9).flatmap(lambda n: moments if n else st.none())
effects = st.one_of(
    st.just(Effect("flag")),
    st.just(Effect("fail")),
    st.builds(Effect, st.just("deduct"), percents),
    st.builds(Effect, st.just("cap"), percents),
)
own_credits = st.builds(Credit, st.none() | credits, st.none() | credits)
levels = st.lists(credits, min_size=2, max_size=4).map(
    lambda found: tuple(Level(f"level {c}", c) for c in sorted(found))
)


@st.composite
def elements(draw, key):
    with_levels = draw(st.integers(0, 3)) == 0
    return Element(
        key,
        f"Does {key}",
        Technique.PERFORM,
        draw(points),
        critical=draw(effects) if draw(st.integers(0, 3)) == 0 else None,
        credit=Credit() if with_levels else draw(own_credits),
        levels=draw(levels) if with_levels else (),
    )


@st.composite
def grids(draw, key):
    shared = draw(st.booleans())
    weight = draw(points)
    return Grid(
        key,
        "Feels {site}, {side}",
        Technique.PALPATE,
        sites=("neck", "arm")[: draw(st.integers(1, 2))],
        sides=("left", "middle", "right")[: draw(st.integers(2, 3))],
        points=None if shared else weight,
        points_shared=weight if shared else None,
        critical=draw(effects) if draw(st.integers(0, 3)) == 0 else None,
        credit=draw(own_credits),
    )


@st.composite
def rules(draw, key, found, in_grid):
    kind = draw(st.sampled_from(["at_least", "before", "before", "hazard", "within"]))
    effect = draw(effects)
    if kind == "hazard":
        return Hazard(key, "Does harm", effect)
    if kind == "within":
        return Within(key, "Takes long", effect, draw(st.integers(1, 3).map(Fraction)))
    keys = draw(st.permutations(found))
    if kind == "at_least":
        of = tuple(keys[: draw(st.integers(1, min(4, len(keys))))])
        return AtLeast(key, "Does enough", effect, draw(st.integers(1, len(of))), of)
    per = draw(st.sampled_from([None, "site", "side"])) if len(in_grid) > 1 else None
    keys = draw(st.permutations(in_grid)) if per else keys
    first = tuple(keys[: draw(st.integers(1, max(1, min(3, len(keys) - 1))))])
    then = tuple(keys[len(first) :][: draw(st.integers(1, 3))])
    slack = draw(st.sampled_from([0, Fraction("0.5"), 5]).map(Fraction))
    return Before(key, "Keeps the order", effect, first, then, per, slack)


@st.composite
def definitions(draw):
    sections, number = [], 0
    for position in range(draw(st.integers(1, 3))):
        parts = []
        for _ in range(draw(st.integers(1, 3))):
            grid = draw(st.integers(0, 3)) == 0
            parts.append(draw((grids if grid else elements)(f"e{number}")))
            number += 1
        minimum = draw(st.none() | percents)
        sections.append(Section(f"s{position}", "A section", tuple(parts), minimum))
    every = [element for section in sections for element in section.elements]
    found = [element.key for element in every]
    in_grid = [element.key for element in every if element.grid]
    return Definition(
        "A rubric",
        tuple(sections),
        draw(percents),
        unseen_limit_percent=draw(percents),
        unseen=draw(st.sampled_from(["exclude", "range"])),
        credit=draw(st.just(Definition.credit) | own_credits),
        global_rating=draw(st.none() | st.just(GlobalRating(("a", "b", "c"), 2))),
        rules=tuple(
            draw(rules(f"rule{r}", found, in_grid))
            for r in range(draw(st.integers(0, 4)))
        ),
    )


@st.composite
def marks(draw, element):
    if element.levels:
        states = [State.LEVEL, State.LEVEL, State.UNSEEN, State.EXCUSED]
    else:
        states = [s for s in State if s is not State.LEVEL] + [State.DONE] * 3
    state = draw(st.sampled_from(states))
    number = None
    if state is State.LEVEL:
        number = draw(st.integers(1, len(element.levels)))
    return Mark(element.key, state, draw(times), number)


@st.composite
def sheets(draw, definition, complete=None):
    """A sheet for the rubric; `complete`: with a state for every element and more."""
    complete = draw(st.booleans()) if complete is None else complete
    hazards = [rule.key for rule in definition.rules if rule.kind == "hazard"]
    ruled = [
        rule.key
        for rule in definition.rules
        if rule.kind == "before"
        and ((complete and rule.effect.kind != "flag") or draw(st.booleans()))
    ]
    results = st.sampled_from(["met", "violated", "cannot_tell"])
    confirmed = st.just(True) if complete else st.booleans()
    rated = st.just(2) if complete else st.none() | st.just(2)
    return Sheet(
        marks=tuple(
            draw(marks(element))
            for element in definition.elements
            if complete or draw(st.integers(0, 5))
        ),
        hazards=tuple(
            Sighting(key, draw(times), draw(confirmed))
            for key in hazards
            for _ in range(draw(st.integers(0, 2)))
        ),
        rulings=tuple(Ruling(key, draw(results)) for key in ruled),
        global_rating=draw(rated) if definition.global_rating else None,
        length_seconds=draw(st.sampled_from([None, Decimal(60), Decimal("180.5")])),
        start_at=Decimal(draw(st.sampled_from([0, 30]))),
        extra_minutes=Decimal(draw(st.sampled_from([0, 1]))),
    )


@st.composite
def marked(draw, complete=None):
    """(definition, sheet)."""
    definition = draw(definitions())
    return definition, draw(sheets(definition, complete))
