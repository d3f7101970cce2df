"""Omissions and their comparison from a table of marks, one mark a row."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from grading.statistics.omissions import (
    BY_STATE,
    EARNED_NOTHING,
    JUDGED,
    METHOD,
    Omissions,
    by_state,
    from_counts,
)
from grading.statistics.proportions import Counts
from grading.statistics.reports.report import Report, row
from grading.statistics.table import Column, Table, number, read_table, text, word
from rubric.faults import Faults

STATES = (*JUDGED, "unseen", "excused", "level")
KEY = ("cohort", "student", "attempt", "marker", "element")
GROUPS = ("element", "cohort", "marker", "attempt")
ATTEMPTS = ("first", "last", "all")
FEW_STUDENTS = 10
COLUMNS = (
    Column("cohort", text),
    Column("student", text),
    Column("attempt", number(1, 1000, whole=True)),
    Column("marker", text),
    Column("element", text),
    Column("state", word(STATES)),
    Column("credit", number(0, 1), optional=True, may_be_empty=True),
)
SHARES = ("done", "partly", "said", "missed", "unseen")


def read_marks(file: str, data: bytes) -> Table:
    """The table of marks; every judged mark needs a credit where the column is there."""
    table = read_table(file, data, COLUMNS, KEY)
    states = table.texts("state")
    if "credit" in table:
        faults = [
            table.refuse(i, "credit is empty", "a number from 0 to 1")
            for i in np.flatnonzero(np.isnan(table.numbers("credit"))).tolist()
            if states[i] not in ("unseen", "excused")
        ]
    else:
        faults = [
            table.refuse(i, "state 'level' without a credit", "a column credit")
            for i, state in enumerate(states)
            if state == "level"
        ]
    if faults:
        raise Faults(faults)
    return table


def omissions_report(
    table: Table,
    by: Sequence[str] = ("element",),
    attempt: str = "first",
    count: Sequence[str] | None = None,
) -> Report:
    """Omission rates of every group that `by` names (element, cohort, marker, attempt)."""
    table = of_attempt(table, attempt)
    names, group = _groups(table, by)
    found = counted(table, group, len(names), count)
    rows = [
        row(
            dict(zip(by, key, strict=True)),
            {
                "judged": int(found.judged[i]),
                "omitted": int(found.omitted[i]),
                "rate": float(found.rate[i]),
                "low": float(found.low[i]),
                "high": float(found.high[i]),
                **{name: float(getattr(found, name)[i]) for name in SHARES},
            },
            "no mark of it was judged",
        )
        for i, key in enumerate(names)
    ]
    notes = [
        f"Counted as omitted: {found.rule}. Limits: {METHOD}, 95%.",
        *counted_often(table, by),
        *few_students(table),
    ]
    if "element" not in by:
        notes.append(
            "A row holds several marks of one student, so its interval is too narrow."
        )
    return Report("omissions", len(table), rows, {}, notes)


def _groups(table: Table, by: Sequence[str]) -> tuple[list[tuple[str, ...]], Counts]:
    """The groups in order of appearance, and each row's."""
    keys = list(zip(*(_words(table, name) for name in by), strict=True))
    names = list(dict.fromkeys(keys))
    position = {name: i for i, name in enumerate(names)}
    return names, np.array([position[key] for key in keys], dtype=np.int64)


def _words(table: Table, column: str) -> Sequence[str]:
    if column == "attempt":
        return [f"{value:g}" for value in table.numbers(column)]
    return table.texts(column)


def of_attempt(table: Table, attempt: str) -> Table:
    """The rows of each student's first or last attempt, or of all."""
    if attempt == "all" or not len(table):
        return table
    student = identities(table, ("cohort", "student"))
    numbers = table.numbers("attempt")
    chosen = np.full(int(student.max()) + 1, np.inf if attempt == "first" else -np.inf)
    pick = np.minimum if attempt == "first" else np.maximum
    pick.at(chosen, student, numbers)
    return table.kept(numbers == chosen[student])


def identities(table: Table, columns: Sequence[str]) -> Counts:
    """A number for each row: rows with the same cells in these columns share it."""
    if not len(table):
        return np.zeros(0, dtype=np.int64)
    codes = np.stack([table.coded(name)[1] for name in columns])
    return np.unique(codes, axis=1, return_inverse=True)[1].ravel()


def counted(
    table: Table, group: Counts, groups: int, count: Sequence[str] | None
) -> Omissions:
    """Count the rows of each group by state, and those that are omissions."""
    omitted, _, rule = omitted_and_judged(table, count)
    states = table.texts("state")
    position = {name: i for i, name in enumerate(STATES)}
    state = np.array([position[name] for name in states], dtype=np.int64)
    slots = group * len(STATES) + state
    tally = np.bincount(slots, minlength=groups * len(STATES)).reshape(
        groups, len(STATES)
    )
    counts = {name: tally[:, i] for i, name in enumerate(STATES)}
    return from_counts(counts, np.bincount(group[omitted], minlength=groups), rule)


def omitted_and_judged(
    table: Table, count: Sequence[str] | None
) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_], str]:
    """Of each row, whether it is an omission and whether it was judged; and the rule."""
    states = np.array(table.texts("state"), dtype=object)
    judged = ~np.isin(states, ("unseen", "excused"))
    if count is None and "credit" in table:
        return judged & (table.numbers("credit") == 0), judged, EARNED_NOTHING
    chosen = BY_STATE if count is None else tuple(count)
    return np.isin(states, chosen), judged, by_state(chosen)


def counted_often(table: Table, by: Sequence[str]) -> list[str]:
    """A note where a student's mark of one element counts more than once in a group."""
    student = identities(table, ("cohort", "student"))
    once = identities(table, ("cohort", "student", *dict.fromkeys((*by, "element"))))
    again = np.bincount(once)[once] > 1 if len(table) else np.zeros(0, dtype=np.bool_)
    often = len(np.unique(student[again]))
    if not often:
        return []
    return [
        f"Students who count more than once for an element: {often}. n counts marks."
    ]


def few_students(table: Table) -> list[str]:
    """A note where there are few students in all."""
    students = len(np.unique(identities(table, ("cohort", "student"))))
    if students >= FEW_STUDENTS:
        return []
    return [f"Few data: {students} student{'' if students == 1 else 's'}."]
