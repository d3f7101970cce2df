"""A cohort as one array: its releases read, filtered, and turned into figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NamedTuple

from grading.disclosure import Level, levels
from grading.models import Assignment, Release
from grading.statistics.omissions import Credits, Omissions, credit_table, omissions
from grading.statistics.states import to_array
from rubric.definition import Definition
from rubric.models import definition_of

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    States = npt.NDArray[np.uint8]

Attempt = Literal["first", "last", "all"]
ATTEMPTS: tuple[Attempt, ...] = ("first", "last", "all")


@dataclass(frozen=True)
class Chosen:
    """What is counted: which attempts, whose marks, and which states as omissions.

    `count` empty goes by credit: a mark that earns 0.
    """

    attempt: Attempt = "first"
    marker: int | None = None
    count: tuple[str, ...] = ()

    @property
    def of_all_markers(self) -> Chosen:
        """The same for another cohort: a marker of this one may not mark there."""
        return Chosen(self.attempt, None, self.count)


class Row(NamedTuple):
    """One release of a group; a tuple, since a cohort may hold ten thousand."""

    release: int
    student: int
    attempt: int
    marker: int
    states: bytes


class Selection(NamedTuple):
    """A set of releases that a page can show: of which attempts, by which marker.

    `attempt` also names the two sides of the pairs: the first and the second attempt of
    the students who have both.
    """

    attempt: Attempt | Literal["first of pairs", "second of pairs"]
    marker: int | None = None


@dataclass(frozen=True)
class Group:
    """The releases of one assignment that were chosen, out of all it has."""

    assignment: Assignment
    rows: tuple[Row, ...]
    everyone: tuple[Row, ...]
    selection: Selection

    @property
    def definition(self) -> Definition:
        return definition_of(self.assignment.edition)

    @cached_property
    def level(self) -> Level:
        """What may be shown of it beside everything else the page can show."""
        return levels_of(self.everyone).get(self.selection, "nothing")

    @property
    def is_small(self) -> bool:
        """Counts at most: too few for rates, or what is left beside it is."""
        return self.level != "rates"

    @property
    def is_hidden(self) -> bool:
        return self.level == "nothing"

    @property
    def students(self) -> int:
        return len({row.student for row in self.rows})

    def array(self) -> States:
        """Students x elements, one byte each."""
        elements = len(self.definition.elements)
        return to_array([row.states for row in self.rows], elements)

    def omissions(self, chosen: Chosen) -> Omissions:
        return omissions(
            self.array(), credits_of(self.definition), chosen.count or None
        )


def read_rows(assignments: Iterable[Assignment]) -> dict[int, tuple[Row, ...]]:
    """The current releases of each assignment by its key, one query for all of them."""
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
    return {pk: tuple(rows) for pk, rows in found.items()}


def group_of(
    assignment: Assignment, everyone: tuple[Row, ...], chosen: Chosen
) -> Group:
    """The releases chosen out of all that `read_rows` found for the assignment."""
    rows = of_attempt(everyone, chosen.attempt)
    kept = tuple(row for row in rows if chosen.marker in {None, row.marker})
    return Group(assignment, kept, everyone, Selection(chosen.attempt, chosen.marker))


def read_groups(assignments: Sequence[Assignment], chosen: Chosen) -> list[Group]:
    """The releases chosen of each assignment."""
    rows = read_rows(assignments)
    return [group_of(a, rows[a.pk], chosen) for a in assignments]


def of_attempt(rows: Sequence[Row], attempt: Attempt) -> Sequence[Row]:
    """One row a student, unless all are asked for; `rows` are in order of attempts."""
    if attempt == "all":
        return rows
    ordered = rows if attempt == "last" else rows[::-1]
    return list({row.student: row for row in ordered}.values())


def pairs_of(rows: Iterable[Row]) -> tuple[list[Row], list[Row]]:
    """The first and the second attempts of the students who have both, in one order."""
    sides: dict[int, dict[int, Row]] = {1: {}, 2: {}}
    for row in rows:
        if row.attempt in sides:
            sides[row.attempt][row.student] = row
    both = [student for student in sides[1] if student in sides[2]]
    return [sides[1][s] for s in both], [sides[2][s] for s in both]


def selections_of(rows: Sequence[Row]) -> dict[Selection, list[Row]]:
    """Every selection of one assignment, in the order in which they may be shown."""
    found = {Selection(name): list(of_attempt(rows, name)) for name in ATTEMPTS}
    first, second = pairs_of(rows)
    found[Selection("first of pairs")] = first
    found[Selection("second of pairs")] = second
    markers = [marker for marker, _ in Counter(r.marker for r in rows).most_common()]
    for name in ATTEMPTS:
        own = found[Selection(name)]
        for marker in markers:
            found[Selection(name, marker)] = [r for r in own if r.marker == marker]
    return found


def levels_of(rows: Sequence[Row]) -> dict[Selection, Level]:
    """What may be shown of each selection of one assignment."""
    found = selections_of(rows)
    return levels(
        {key: [row.release for row in own] for key, own in found.items()},
        {row.release: row.student for row in rows},
        [
            [key for key in found if key.attempt == name and key.marker is not None]
            for name in ATTEMPTS
        ],
    )


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
