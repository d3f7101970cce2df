"""A cohort as one array: its releases read, filtered, and turned into figures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, NamedTuple

from grading.models import Assignment, Release
from grading.statistics.compare import GroupComparison, compare_groups
from grading.statistics.omissions import (
    Credits,
    Omissions,
    credit_table,
    from_counts,
    omissions,
)
from grading.statistics.states import to_array
from rubric.definition import Definition, Element, Section
from rubric.models import definition_of

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    States = npt.NDArray[np.uint8]

Attempt = Literal["first", "last", "all"]
# Under ten students a rate says more about chance, and about persons, than about a cohort.
FEWEST = 10


@dataclass(frozen=True)
class Chosen:
    """What is counted: which attempts, whose marks, and which states as omissions.

    `count` empty goes by credit: a mark that earns 0.
    """

    attempt: Attempt = "first"
    marker: int | None = None
    count: tuple[str, ...] = ()


class Row(NamedTuple):
    """One release of a group; a tuple, since a cohort may hold ten thousand."""

    release: int
    student: int
    attempt: int
    marker: int
    states: bytes


@dataclass(frozen=True)
class Group:
    """Releases of one assignment as chosen, and how many there are whoever marked."""

    assignment: Assignment
    rows: tuple[Row, ...]
    whole: int

    @property
    def definition(self) -> Definition:
        return definition_of(self.assignment.edition)

    @property
    def is_small(self) -> bool:
        """Too few for rates; or what is left beside it is, and could be worked out."""
        beside = self.whole - len(self.rows)
        return len(self.rows) < FEWEST or 0 < beside < FEWEST

    def array(self) -> States:
        """Students x elements, one byte each."""
        elements = len(self.definition.elements)
        return to_array([row.states for row in self.rows], elements)

    def omissions(self, chosen: Chosen) -> Omissions:
        return omissions(
            self.array(), credits_of(self.definition), chosen.count or None
        )


def read_groups(assignments: Sequence[Assignment], chosen: Chosen) -> list[Group]:
    """The current releases of each assignment, one query for all of them."""
    found: dict[int, list[Row]] = {assignment.pk: [] for assignment in assignments}
    values = (
        Release.objects.current()
        .filter(assignment__in=found)
        .order_by("attempt", "pk")
        .values_list(
            "assignment",
            "pk",
            "submission__student",
            "attempt",
            "marking__marker",
            "states",
        )
    )
    for pk, release, student, attempt, marker, states in values:
        found[pk].append(Row(release, student, attempt, marker, bytes(states)))
    groups = []
    for assignment in assignments:
        rows = _of_attempt(found[assignment.pk], chosen.attempt)
        kept = tuple(row for row in rows if chosen.marker in {None, row.marker})
        groups.append(Group(assignment, kept, len(rows)))
    return groups


def _of_attempt(rows: list[Row], attempt: Attempt) -> list[Row]:
    """One row a student, unless all are asked for; `rows` are in order of attempts."""
    if attempt == "all":
        return rows
    ordered = rows if attempt == "last" else rows[::-1]
    return list({row.student: row for row in ordered}.values())


@dataclass(frozen=True)
class Line:
    """One element of the page's table; `other` is the same element's place in B."""

    element: Element
    section: Section
    i: int
    other: int | None


def lines(
    definition: Definition, other: Definition | None, section: str = ""
) -> list[Line]:
    """The elements shown, in exam order, each with its place in the other edition."""
    places = other.index if other else {}
    return [
        Line(element, part, definition.index[element.key], places.get(element.key))
        for part in definition.sections
        if section in {"", part.key}
        for element in part.elements
    ]


@dataclass(frozen=True)
class Comparison:
    """Two cohorts over the elements that both editions have; `places` by place in A."""

    places: dict[int, int]
    found: GroupComparison


def comparison(a: Omissions, b: Omissions, shown: Sequence[Line]) -> Comparison:
    """Compare by key; q is corrected over exactly the elements shown and in both."""
    both = [(line.i, line.other) for line in shown if line.other is not None]
    return Comparison(
        {i: place for place, (i, _) in enumerate(both)},
        compare_groups(
            _taken(a, [i for i, _ in both]), _taken(b, [j for _, j in both])
        ),
    )


def _taken(found: Omissions, places: list[int]) -> Omissions:
    counts = {name: values[places] for name, values in found.counts.items()}
    return from_counts(counts, found.omitted[places], found.rule)


def credits_of(definition: Definition) -> npt.NDArray[np.float64]:
    """Credit of each state code for each element, elements x 256; NaN is not judged."""
    usual = definition.credit

    def share(own: Fraction | None, default: Fraction | None, last: float) -> float:
        chosen = default if own is None else own
        return last if chosen is None else float(chosen)

    return credit_table(
        Credits(
            partly=share(element.credit.partly, usual.partly, 0.5),
            said=share(element.credit.said, usual.said, 0.0),
            levels=tuple(float(level.credit) for level in element.levels),
        )
        for element in definition.elements
    )


def section_counts(
    group: Group, chosen: Chosen, sections: Iterable[Section]
) -> list[tuple[int, int]]:
    """(left out, judged) marks of each section, by key; (0, 0) where it has none."""
    found = group.omissions(chosen)
    index = group.definition.index
    counts = []
    for section in sections:
        places = [index[e.key] for e in section.elements if e.key in index]
        counts.append(
            (int(found.omitted[places].sum()), int(found.judged[places].sum()))
        )
    return counts
