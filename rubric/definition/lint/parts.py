"""Advice on one element or grid."""

from __future__ import annotations

from collections.abc import Iterator

from rubric.definition.lint.finding import Finding, Mend, advice
from rubric.definition.lint.words import (
    BOTH_SIDES_ARE_NOT_ALIKE,
    has_observable_verb,
    joins_two_behaviours,
    with_verb,
)
from rubric.definition.values import (
    Definition,
    Element,
    Grid,
    Section,
)
from rubric.faults import Place, quoted

COMMON_PRACTICE = "Common practice, no source"


def of_part(
    definition: Definition,
    section: Section,
    part: Element | Grid,
    place: Place,
    in_rules: set[str],
) -> Iterator[Finding]:
    """`in_rules` holds the keys that rules name whose effect is more than a flag."""
    yield from _weighs_nothing(part, place, in_rules)
    yield from _critical_without_reason(part, place)
    if isinstance(part, Grid):
        yield from _side_missing(definition, section, part, place)
    if is_english(definition):
        yield from _wording(part, place)
    if not part.source:
        mend = Mend("Say common practice", place, {"source": COMMON_PRACTICE})
        words = "No source. Say where this comes from, or that it is common practice."
        yield advice("no-source", place, "source", words, mend)


def is_english(definition: Definition) -> bool:
    return definition.language.lower().partition("-")[0] == "en"


def _weighs_nothing(
    part: Element | Grid, place: Place, in_rules: set[str]
) -> Iterator[Finding]:
    """0 points, not critical, and in no rule that changes the result.

    An element with levels may rightly weigh nothing: its words are the feedback.
    """
    key, keys, mend = (
        "points",
        {part.key},
        Mend("Give it 1 point", place, {"points": 1}),
    )
    if isinstance(part, Grid):
        points, keys = part.points or part.points_shared, {e.key for e in part.elements}
        if part.points is None:
            key, shared = "points_shared", {"points_shared": len(keys)}
            mend = Mend("Give each 1 point", place, {**shared})
    elif part.levels:
        return
    else:
        points = part.points
    if points or part.critical is not None or keys <= in_rules:
        return
    words = "0 points and not critical: nobody gains by doing it."
    yield advice("weighs-nothing", place, key, words, mend)


def _critical_without_reason(part: Element | Grid, place: Place) -> Iterator[Finding]:
    """A critical whose `expects` is empty: there its marker and its student read what
    has to be seen, and why it weighs so much. Where that comes from is `source`'s to say.
    """
    if part.critical is not None and not part.expects:
        words = (
            "Critical, but nothing says why or what exactly is asked. "
            "Write it under “expects”."
        )
        yield advice("critical-without-reason", place, "expects", words)


def _side_missing(
    definition: Definition, section: Section, grid: Grid, place: Place
) -> Iterator[Finding]:
    """One side alone, where a neighbour in the section has this side and its other.

    Not where another grid of the section has the other side of the same sites, nor
    for what the body has on one side only.
    """
    if len(grid.sides) != 1:
        return
    grids = [part for part in section.parts if isinstance(part, Grid)]
    has = grid.sides[0].lower()
    for neighbour in grids:
        sides = [side.lower() for side in neighbour.sides]
        if len(sides) != 2 or has not in sides:
            continue
        other = neighbour.sides[1 - sides.index(has)]
        covered = any(
            other.lower() in (side.lower() for side in twin.sides)
            and set(map(str.lower, twin.sites)) >= set(map(str.lower, grid.sites))
            for twin in grids
            if twin is not grid and twin.technique == grid.technique
        )
        if covered or (
            is_english(definition)
            and BOTH_SIDES_ARE_NOT_ALIKE.search(" ".join((grid.text, *grid.sites)))
        ):
            return
        words = (
            f"Only {quoted(grid.sides[0])}, while {quoted(neighbour.key)} in the same "
            f"section also has {quoted(other)}."
        )
        mend = Mend(f"Add {other}", place, {"sides": [*neighbour.sides]})
        yield advice("side-missing", place, "sides", words, mend)
        return


def _wording(part: Element | Grid, place: Place) -> Iterator[Finding]:
    joined = joins_two_behaviours(part.text)
    if joined:
        words = (
            f"Two things in one ({quoted(joined)}): who does one of them can only be "
            "marked “partly”. Make two elements, or say which counts."
        )
        yield advice("two-behaviours", place, "text", words)
    if not has_observable_verb(part.text):
        better = with_verb(part.text, part.technique)
        mend = (
            None
            if better is None
            else Mend(f"Begin with “{better.split()[0]}”", place, {"text": better})
        )
        words = (
            "It does not begin with something a marker can see or hear done "
            "(such as palpates, asks, says)."
        )
        yield advice("no-verb", place, "text", words, mend)
