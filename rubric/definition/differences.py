"""What differs between two elements, two rules or two rubrics, each in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from rubric.definition.values import (
    Credit,
    Definition,
    Effect,
    Element,
    Grid,
    Level,
    Rule,
    Section,
)
from rubric.definition.wording import effect, exact

NOTHING = "none"


class Difference(NamedTuple):
    """One thing that was `before` and is `after`, in words."""

    what: str
    before: str
    after: str


@dataclass(frozen=True)
class Place:
    """An element where it stands: `part` is the grid that it comes from, or itself.

    `number` counts the elements of the rubric from 1.
    """

    element: Element
    part: Element | Grid
    section: Section
    number: int


def places(definition: Definition) -> dict[str, Place]:
    """Every element by its key, in exam order."""
    found: dict[str, Place] = {}
    for section in definition.sections:
        for part in section.parts:
            for element in part.elements if isinstance(part, Grid) else (part,):
                found[element.key] = Place(element, part, section, len(found) + 1)
    return found


def of_words(before: Place, after: Place) -> tuple[Difference, ...]:
    """Words, what is expected, technique, axes, source, and the words it may be heard by."""
    a: Element | Grid = before.element
    b: Element | Grid = after.element
    if isinstance(before.part, Grid) and isinstance(after.part, Grid):
        a, b = before.part, after.part  # said once, with {site}, for all its elements
    return (
        *_unequal("words", a.text, b.text, str),
        *_unequal("expects", a.expects, b.expects, _text),
        *_unequal("technique", before.element.technique, after.element.technique, str),
        *of_axes(before.element, after.element),
        *_unequal("source", a.source, b.source, _text),
        *_unequal("may be heard as", a.say, b.say, _list),
    )


def of_axes(before: Element, after: Element) -> tuple[Difference, ...]:
    """Site, side and instrument."""
    return (
        *_unequal("site", before.site, after.site, _text),
        *_unequal("side", before.side, after.side, _text),
        *_unequal("instrument", before.instrument, after.instrument, _text),
    )


def of_weight(before: Place, after: Place) -> tuple[Difference, ...]:
    """Points, critical, credit, levels, and whether it may be excused."""
    a, b = before.element, after.element
    return (
        *_unequal("points", _weight(before), _weight(after), _points),
        *_unequal("critical", a.critical, b.critical, _critical),
        *of_credit(a.credit, b.credit),
        *of_levels(a, b),
        *_unequal("may be excused", a.may_excuse, b.may_excuse, _yes),
    )


def of_credit(before: Credit, after: Credit) -> tuple[Difference, ...]:
    return (
        *_unequal("credit for partly", before.partly, after.partly, _own),
        *_unequal("credit for said only", before.said, after.said, _own),
    )


def of_levels(before: Element, after: Element) -> tuple[Difference, ...]:
    return (*_unequal("levels", before.levels, after.levels, _levels),)


def of_rule(before: Rule, after: Rule) -> tuple[Difference, ...]:
    """Every field of a rule, whatever its kind was before."""
    a, b = vars(before), vars(after)
    return tuple(
        difference
        for name, (what, words) in _OF_RULE.items()
        for difference in _unequal(what, a.get(name), b.get(name), words)
    )


def of_section(before: Section, after: Section) -> tuple[Difference, ...]:
    """Title and minimum; its elements are told one by one."""
    return (
        *_unequal("title", before.title, after.title, str),
        *_unequal("minimum", before.minimum_percent, after.minimum_percent, _percent),
    )


def of_whole(before: Definition, after: Definition) -> tuple[Difference, ...]:
    """What holds for the whole rubric."""
    a, b = before.global_rating, after.global_rating
    return (
        *_unequal("title", before.title, after.title, str),
        *_unequal("language", before.language, after.language, str),
        *_unequal("pass mark", before.pass_percent, after.pass_percent, _percent),
        *_unequal(
            "not seen, at most",
            before.unseen_limit_percent,
            after.unseen_limit_percent,
            _percent,
        ),
        *_unequal("what is not seen", before.unseen, after.unseen, _unseen),
        *of_credit(before.credit, after.credit),
        *_unequal("global rating", a and a.words, b and b.words, _list),
        *_unequal("borderline word", a and a.borderline, b and b.borderline, _number),
    )


def _unequal(
    what: str, before: Any, after: Any, words: Callable[[Any], str]
) -> Iterator[Difference]:
    if before != after:
        yield Difference(what, words(before), words(after))


def _weight(place: Place) -> tuple[Any, Any]:
    return place.element.points, getattr(place.part, "points_shared", None)


def _points(weight: tuple[Any, Any]) -> str:
    each, shared = weight
    return exact(each) if shared is None else f"{exact(each)} ({exact(shared)} shared)"


def _critical(value: Effect | None) -> str:
    return "no" if value is None else effect(value)


def _own(credit: Any) -> str:
    return "the rubric's" if credit is None else exact(credit)


def _levels(levels: tuple[Level, ...]) -> str:
    return _list(f"{level.label} {exact(level.credit)}" for level in levels)


def _percent(number: Any) -> str:
    return NOTHING if number is None else f"{exact(number)}%"


def _number(number: Any) -> str:
    return NOTHING if number is None else exact(number)


def _text(text: str | None) -> str:
    return text or NOTHING


def _list(items: Iterable[str] | None) -> str:
    return ", ".join(items or ()) or NOTHING


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _unseen(value: str) -> str:
    return "leaves the sum" if value == "exclude" else "the worst case must pass too"


_OF_RULE: dict[str, tuple[str, Callable[[Any], str]]] = {
    "kind": ("kind", lambda kind: kind.replace("_", " ")),
    "text": ("words", str),
    "effect": ("effect", effect),
    "count": ("count", _number),
    "of": ("of", _list),
    "first": ("first", _list),
    "then": ("then", _list),
    "per": ("per", _text),
    "slack_seconds": ("slack in seconds", _number),
    "minutes": ("minutes", _number),
}
