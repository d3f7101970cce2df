"""Raw marks as the statistics command reads them, one mark a row, however many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from grading.cohort import credits_of
from grading.models import Assignment, Release
from grading.statistics.states import OPEN, unpack
from rubric.models import Edition

HEAD = ("cohort", "student", "attempt", "marker", "element", "state", "credit")
AT_ONCE = 200  # releases fetched together


def marks_rows(assignments: Sequence[Assignment]) -> Iterator[tuple[object, ...]]:
    """Every mark of the current releases, all attempts and markers, one query.

    `cohort` names the assignment with its cohort, for one cohort may sit two. Students
    and markers are numbers, not names. An element goes by its token: the same in two
    editions where it means the same. Memory does not grow with the releases.
    """
    names = names_of(assignments)
    editions = {assignment.pk: assignment.edition for assignment in assignments}
    cells: dict[tuple[int, int, int], tuple[str, str, float | None]] = {}
    tables = {edition.pk: _Table(edition) for edition in editions.values()}
    releases = (
        Release.objects.current()
        .filter(assignment__in=list(editions))
        .order_by("assignment", "pk")
        .values_list(
            "assignment",
            "submission__student",
            "attempt",
            "marking__marker",
            "states",
        )
    )
    for pk, student, attempt, marker, states in releases.iterator(chunk_size=AT_ONCE):
        edition = editions[pk].pk
        start = (names[pk], f"s{student}", attempt, f"m{marker}")
        for i, code in enumerate(bytes(states)):
            if code == OPEN:
                continue
            key = (edition, i, code)
            if key not in cells:
                cells[key] = tables[edition].cell(i, code)
            yield start + cells[key]


class _Table:
    """Tokens and credits of one edition."""

    def __init__(self, edition: Edition) -> None:
        self.tokens = list(edition.tokens().values())
        self.credits = credits_of(edition.definition)

    def cell(self, i: int, code: int) -> tuple[str, str, float | None]:
        ((state, _),) = unpack(bytes([code]))
        credit = float(self.credits[i, code])
        return self.tokens[i], state, None if np.isnan(credit) else credit


def names_of(assignments: Sequence[Assignment]) -> dict[int, str]:
    """One printable line for each assignment, different from all others."""
    lines = {a.pk: _line(str(a)) for a in assignments}
    times = Counter(lines.values())
    return {
        pk: line if times[line] == 1 else f"{line} ({pk})" for pk, line in lines.items()
    }


def _line(text: str) -> str:
    shown = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(shown.split())
