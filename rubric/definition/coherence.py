"""What no single value of a rubric shows: how keys, selectors and limits fit together.

An empty key, and a section without parts, stand for what could not be read. Nothing is
said of it then, nor of what selectors match, which would be guesswork.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from rubric.definition.grids import size, stray_placeholders
from rubric.definition.selectors import select
from rubric.definition.values import AtLeast, Before, Definition, Element, Grid, Rule
from rubric.faults import Place, nearest, quoted

MOST_ELEMENTS = 1000


class Problem(NamedTuple):
    """What is wrong, where: ("sections", 0, "parts", 2), a key there, an item of its list."""

    place: Place
    key: str | None
    position: int | None
    what: str
    allowed: str


def problems(definition: Definition) -> Iterator[Problem]:
    """Everything in a rubric that does not fit together; nothing where all does."""
    parts: list[tuple[Place, Element | Grid]] = [
        (("sections", s, "parts", p), part)
        for s, section in enumerate(definition.sections)
        for p, part in enumerate(section.parts)
    ]
    for place, part in parts:
        yield from (
            _of_grid(place, part) if isinstance(part, Grid) else _of_levels(place, part)
        )
    yield from _used_twice(
        (("sections", s), [section.key])
        for s, section in enumerate(definition.sections)
    )
    if too_many := _first_too_many(parts):
        what = f"the rubric has more than {MOST_ELEMENTS} elements"
        yield Problem(
            too_many,
            None,
            None,
            what,
            f"at most {MOST_ELEMENTS}, counting each of a grid",
        )
        return
    # One set of keys for elements, grids and rules: a result names them by key alone.
    yield from _used_twice(
        [
            *((place, _keys(part)) for place, part in parts),
            *((("rules", r), [rule.key]) for r, rule in enumerate(definition.rules)),
        ]
    )
    if (
        definition.sections
        and all(section.parts for section in definition.sections)
        and all(part.key for _, part in parts)
    ):
        selectors = _selectors(definition)
        for r, rule in enumerate(definition.rules):
            unmatched = list(_unmatched(selectors, ("rules", r), rule))
            yield from unmatched
            if isinstance(rule, AtLeast) and not unmatched:
                yield from _of_at_least(definition, ("rules", r), rule)
            elif isinstance(rule, Before):
                yield from _of_before(definition, ("rules", r), rule)


def _of_grid(place: Place, grid: Grid) -> Iterator[Problem]:
    if not grid.key:
        return
    axes = (
        ("{site}", grid.sites),
        ("{side}", grid.sides),
        ("{instrument}", grid.instruments),
    )
    allowed = ", ".join(axis for axis, names in axes if names)
    for key, text in (("text", grid.text), ("expects", grid.expects)):
        for stray in stray_placeholders(grid, text):
            yield Problem(
                place,
                key,
                None,
                f"{key} holds {quoted(stray)}, which is no axis of the grid",
                allowed,
            )


def _of_levels(place: Place, element: Element) -> Iterator[Problem]:
    labels = [level.label for level in element.levels]
    for n, level in enumerate(element.levels):
        if level.label and level.label in labels[:n]:
            what = f"the level {quoted(level.label)} is there twice"
            yield Problem(place, "levels", n, what, "a label of its own")
        if n and level.credit < element.levels[n - 1].credit:
            what = "a level earns less credit than the one before it"
            yield Problem(
                place, "levels", n, what, "levels from the lowest to the highest"
            )


def _first_too_many(parts: Iterable[tuple[Place, Element | Grid]]) -> Place | None:
    elements = 0
    for place, part in parts:
        elements += size(part) if isinstance(part, Grid) else 1
        if elements > MOST_ELEMENTS:
            return place
    return None


def _keys(part: Element | Grid) -> list[str]:
    """The part's key and those of a grid's elements; none where it could not be read."""
    if isinstance(part, Grid) and part.key:
        return [part.key, *(element.key for element in part.elements)]
    return [part.key]


def _used_twice(owners: Iterable[tuple[Place, list[str]]]) -> Iterator[Problem]:
    """Of each owner the first key that was used before."""
    seen: set[str] = set()
    for place, keys in owners:
        again = None
        for key in keys:
            if key and key in seen and again is None:
                again = key
            seen.add(key)
        if again is not None:
            yield Problem(
                place,
                "key",
                None,
                f"the key {quoted(again)} is used twice",
                "a key of its own",
            )


def _of_at_least(
    definition: Definition, place: Place, rule: AtLeast
) -> Iterator[Problem]:
    held = len(select(definition, rule.of))
    if 0 < held < rule.count:
        what = f"count is {rule.count}, above the number of elements ({held})"
        yield Problem(place, "count", None, what, f"1 to {held}")


def _of_before(definition: Definition, place: Place, rule: Before) -> Iterator[Problem]:
    first, then = select(definition, rule.first), select(definition, rule.then)
    if shared := set(first).intersection(then):
        key = min(shared, key=definition.index.__getitem__)
        what = f"first and then share {quoted(key)}"
        yield Problem(place, "then", None, what, "sides without an element in common")
    if rule.per is None:
        return
    for key in (*first, *then):
        element = definition.elements[definition.index[key]]
        if getattr(element, rule.per) is None:
            what = f"per is {rule.per}, but {quoted(key)} has no {rule.per}"
            yield Problem(
                place, "per", None, what, "an axis that every element of the rule has"
            )
            return


def _unmatched(selectors: set[str], place: Place, rule: Rule) -> Iterator[Problem]:
    for key in ("of", "first", "then"):
        for n, pattern in enumerate(getattr(rule, key, ())):
            if pattern not in selectors:
                near = nearest(selectors, pattern)
                allowed = "keys of elements" + (f" (nearest: {near})" if near else "")
                yield Problem(
                    place, key, n, f"{quoted(pattern)} matches no element", allowed
                )


def _selectors(definition: Definition) -> set[str]:
    """Every selector that matches something."""
    selectors = set(definition.index)
    for key in definition.index:
        parts = key.split(".")
        selectors.update(".".join((*parts[:n], "*")) for n in range(1, len(parts)))
    return selectors
