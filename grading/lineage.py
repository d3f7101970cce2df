"""Which elements of two editions mean the same, so that only those are compared or pooled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce

from rubric.definition import Element, Section
from rubric.models import Edition


@dataclass(frozen=True)
class Line:
    """One element of a page's table; `other` is the same element's place in B's edition."""

    element: Element
    section: Section
    i: int
    other: int | None


@dataclass(frozen=True)
class Unlike:
    """An element that is not compared, and why in words."""

    element: Element
    reason: str


def lines(edition: Edition, other: Edition | None, section: str = "") -> list[Line]:
    """The elements shown, in exam order, each with its place in the other edition."""
    tokens = edition.tokens()
    places = places_of(other) if other else {}
    definition = edition.definition
    return [
        Line(
            element,
            part,
            definition.index[element.key],
            places.get(tokens[element.key]),
        )
        for part in definition.sections
        if section in {"", part.key}
        for element in part.elements
    ]


def places_of(edition: Edition) -> dict[str, int]:
    """The place of each element in a row of states, by what it means (its token)."""
    index = edition.definition.index
    return {token: index[key] for key, token in edition.tokens().items()}


def unlike(edition: Edition, other: Edition, section: str = "") -> list[Unlike]:
    """The elements of both editions that the other does not have with the same meaning."""
    if edition.pk == other.pk:
        return []
    theirs = places_of(other)
    shown = lines(edition, other, section)
    found = [
        Unlike(
            line.element,
            f"means something else in edition {other.number}"
            if line.element.key in other.definition.index
            else f"only in edition {edition.number}",
        )
        for line in shown
        if line.other is None
    ]
    if section:
        return found
    known = {i for line in shown if (i := line.other) is not None}
    return found + [
        Unlike(other.definition.elements[i], f"only in edition {other.number}")
        for i in theirs.values()
        if i not in known
        and other.definition.elements[i].key not in edition.definition.index
    ]


def shared_tokens(editions: Iterable[Edition]) -> set[str]:
    """What every one of these editions asks for with the same meaning."""
    tokens: Sequence[set[str]] = [set(e.tokens().values()) for e in editions]
    return reduce(set.intersection, tokens) if tokens else set()
