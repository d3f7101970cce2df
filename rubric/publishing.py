"""A rubric's editions and its draft, one against another, and what is asked of the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rubric.definition import Comparison, Definition, Element, compare
from rubric.definition.compare_words import Line, lines, note
from rubric.definition.meaning import Doubt, carried, doubts
from rubric.definition.newcomers import Newcomer, newcomers
from rubric.models import Edition, Rubric


@dataclass(frozen=True)
class Proposal:
    """The draft against the last edition; all but `number` is empty for the first."""

    number: int
    last: Edition | None = None
    comparison: Comparison | None = None
    doubts: tuple[Doubt, ...] = ()
    newcomers: tuple[Newcomer, ...] = ()

    @property
    def note(self) -> str:
        """What changed, as a first wording for the author."""
        return note(self.comparison) if self.comparison else "First edition."

    @property
    def lines(self) -> tuple[Line, ...]:
        return lines(self.comparison) if self.comparison else ()


def proposal(rubric: Rubric, definition: Definition) -> Proposal:
    """What publishing this definition of the rubric would mean."""
    editions = list(rubric.editions.select_related("published_by"))
    number = rubric.last_number + 1
    if not editions:
        return Proposal(number)
    last, *before = editions
    was = last.tokens()
    comparison = compare(last.definition, definition, was, carried(was, definition))
    return Proposal(
        number,
        last,
        comparison,
        doubts(comparison, last.definition, definition),
        newcomers(comparison, was, _gone(before, set(was.values()))),
    )


def since(last: Edition, definition: Definition) -> tuple[Line, ...]:
    """What a draft changed since its last edition, a line each."""
    was = last.tokens()
    now = carried(was, definition)
    return lines(compare(last.definition, definition, was, now))


def _gone(
    editions: list[Edition], standing: set[str]
) -> dict[str, tuple[int, Element]]:
    """By token, what earlier editions had and the last has not; the newest comes first."""
    gone: dict[str, tuple[int, Element]] = {}
    for edition in editions:
        definition = edition.definition
        for key, token in edition.tokens().items():
            if token not in standing and token not in gone:
                element = definition.elements[definition.index[key]]
                gone[token] = (edition.number, element)
    return gone


@dataclass(frozen=True)
class Side:
    """An edition or the draft, as one of two that are compared."""

    name: str
    definition: Definition
    tokens: Mapping[str, str]


def side(rubric: Rubric, editions: Sequence[Edition], which: str) -> Side:
    """The draft, or the edition of that number. Raises Faults for a faulty draft."""
    if which == "draft":
        definition = rubric.definition
        was = editions[0].tokens() if editions else {}
        return Side("the draft", definition, carried(was, definition))
    edition = next(e for e in editions if f"{e.number}" == which)
    return Side(f"edition {which}", edition.definition, edition.tokens())
