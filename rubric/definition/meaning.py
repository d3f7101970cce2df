"""Whether an element still means what it meant: what its author is asked, and what follows.

Each element of an edition has a token. Elements of two editions that have the same one
mean the same, so that cohorts on both can be compared on them. A key's first element
has the key for its token; a later one that means something else gets a token of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rubric.definition.compare import Comparison, Pair, Tokens, name_of
from rubric.definition.differences import (
    Difference,
    of_axes,
    of_credit,
    of_levels,
    of_words,
)
from rubric.definition.values import Definition, Element

# The rubric's own credit weighs on every element without one: asked once, not 90 times.
OF_ALL = "*"
NEVER_ASKED = {"source", "may be heard as"}
FRESH = "\n"  # no key and no token begins so


@dataclass(frozen=True)
class Doubt:
    """Elements whose meaning may have changed, all in the same way.

    `proposes_same` where only words or the size of a credit changed. Where what is
    done, where, or what counts as an omission changed, somebody has to decide.
    """

    key: str
    name: str
    section: str
    elements: tuple[str, ...]
    differences: tuple[Difference, ...]
    proposes_same: bool


def carried(was: Tokens, draft: Definition) -> dict[str, str]:
    """Tokens of a draft after an edition with those of `was`: found again by key alone."""
    return {key: was.get(key, FRESH + key) for key in draft.index}


def doubts(
    comparison: Comparison, before: Definition, after: Definition
) -> tuple[Doubt, ...]:
    """Every element in both whose words, technique, axes, levels or credit changed."""
    alike: dict[tuple[str, bool, tuple[Difference, ...]], list[Pair]] = {}
    of_rubric = tuple(
        Difference(f"the rubric's {what}", *words)
        for what, *words in of_credit(before.credit, after.credit)
    )
    for pair in comparison.pairs:
        own = _own(pair)
        whole = of_rubric if _takes_rubrics_credit(pair, before, after) else ()
        if own or whole:
            home = pair.after.part.key if own else OF_ALL
            same = _is_wording(pair, before, after)
            alike.setdefault((home, same, own + whole), []).append(pair)
    return tuple(_doubt(*how, pairs) for how, pairs in alike.items())


def lineage(
    after: Definition,
    number: int,
    was: Tokens,
    used: Iterable[str],
    anew: Iterable[str] = (),
    same_as: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """Tokens by element key of a new edition, without those that are the key itself.

    `was` are the tokens of the edition before, `used` all that any edition had; `anew`
    the keys that mean something else now, `same_as` the tokens of added elements that
    are not new. Raises ValueError where two elements would have one token.
    """
    taken, anew, same_as = set(used), set(anew), same_as or {}
    tokens: dict[str, str] = {}
    for key in after.index:
        if key in same_as:
            tokens[key] = same_as[key]
        elif key in was and key not in anew:
            tokens[key] = was[key]
        else:
            tokens[key] = f"{key}@{number}" if key in taken else key
    if len(set(tokens.values())) < len(tokens):
        raise ValueError("two elements cannot both be the same as one before")
    return {key: token for key, token in tokens.items() if token != key}


def _own(pair: Pair) -> tuple[Difference, ...]:
    """What changed in the element itself that can touch its meaning."""
    a, b = pair.before.element, pair.after.element
    reads_the_same = (a.text, a.expects) == (b.text, b.expects)
    never = NEVER_ASKED | ({"words", "expects"} if reads_the_same else set())
    words = of_words(pair.before, pair.after)
    return (
        *(difference for difference in words if difference.what not in never),
        *of_credit(a.credit, b.credit),
        *of_levels(a, b),
    )


def _takes_rubrics_credit(pair: Pair, before: Definition, after: Definition) -> bool:
    """Whether the rubric's own credit, where it changed, changes this element's."""
    a, b = pair.before.element, pair.after.element
    return not (a.levels or b.levels) and any(
        getattr(a.credit, state) is getattr(b.credit, state) is None
        and getattr(before.credit, state) != getattr(after.credit, state)
        for state in ("partly", "said")
    )


def _is_wording(pair: Pair, before: Definition, after: Definition) -> bool:
    """Whether what is done, where, and which states are an omission stayed the same."""
    a, b = pair.before.element, pair.after.element
    return (
        a.technique == b.technique
        and not of_axes(a, b)
        and a.levels == b.levels
        and (bool(a.levels) or _earns(a, before) == _earns(b, after))
    )


def _earns(element: Element, of: Definition) -> list[bool]:
    """Whether partly and said only earn anything: a mark that earns 0 is an omission."""
    return [
        bool(getattr(of.credit, state) if own is None else own)
        for state, own in vars(element.credit).items()
    ]


def _doubt(
    home: str, same: bool, differences: tuple[Difference, ...], pairs: list[Pair]
) -> Doubt:
    first = pairs[0].after
    keys = tuple(pair.after.element.key for pair in pairs)
    if home == OF_ALL:
        name = "Every element that takes the rubric's own credit"
        return Doubt(OF_ALL, name, "", keys, differences, same)
    name = name_of(first.part if len(pairs) > 1 else first.element)
    return Doubt(keys[0], name, first.section.title, keys, differences, same)
