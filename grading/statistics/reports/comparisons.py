"""Two cohorts, or pairs of one student's marks, compared from a table of marks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from grading.statistics.compare import (
    NEAR_THE_LIMIT,
    GroupComparison,
    PairedComparison,
    compare_groups,
    from_pair_counts,
)
from grading.statistics.proportions import Counts
from grading.statistics.reports.marks import (
    counted,
    counted_often,
    few_students,
    identities,
    of_attempt,
    omitted_and_judged,
)
from grading.statistics.reports.report import Report, Row, row
from grading.statistics.table import Table
from rubric.faults import Fault, Faults, one_of, quoted

SIDES = {  # what makes a pair of two marks that differ in this column
    "attempt": ("cohort", "student", "element"),
    "marker": ("cohort", "student", "attempt", "element"),
}


def groups_report(
    table: Table,
    groups: tuple[str, str],
    attempt: str = "first",
    count: Sequence[str] | None = None,
) -> Report:
    """Two cohorts by name, element by element, the first less the second."""
    _check_values(table, "cohort", groups, table.texts("cohort"))
    table = of_attempt(table, attempt)
    cohort = np.array(table.texts("cohort"), dtype=object)
    table = table.kept((cohort == groups[0]) | (cohort == groups[1]))
    elements, element = table.coded("element")
    in_a = np.array(
        [name == groups[0] for name in table.texts("cohort")], dtype=np.bool_
    )
    a = counted(table.kept(in_a), element[in_a], len(elements), count)
    b = counted(table.kept(~in_a), element[~in_a], len(elements), count)
    found = compare_groups(a, b)
    notes = [
        f"A is {groups[0]}, B is {groups[1]}; difference is A - B. "
        f"Counted as omitted: {a.rule}.",
        "Limits: Newcombe's hybrid score interval, 95%; p: Fisher's exact test, two-sided; "
        "q: Benjamini-Hochberg over the elements judged on both sides.",
        NEAR_THE_LIMIT,
        *_in_both(table.kept(in_a), table.kept(~in_a)),
        *counted_often(table, ("cohort",)),
        *few_students(table),
    ]
    rows = [_group_row(name, i, found) for i, name in enumerate(elements)]
    return Report("compare", len(table), rows, {}, notes)


def paired_report(
    table: Table,
    side: str,
    names: tuple[str, str],
    attempt: str = "first",
    count: Sequence[str] | None = None,
) -> Report:
    """The same students on two attempts, or under two markers (`side`)."""
    if side == "marker":
        table = of_attempt(table, attempt)
        values: Sequence[str] = table.texts("marker")
    else:
        values = [f"{value:g}" for value in table.numbers("attempt")]
    _check_values(table, side, names, values)
    wanted = np.isin(np.array(values, dtype=object), names)
    second = np.array([value == names[1] for value in values], dtype=np.bool_)[wanted]
    table = table.kept(wanted)
    elements, element = table.coded("element")
    omitted, judged, rule = omitted_and_judged(table, count)
    one, other = _pairs(table, SIDES[side], second, judged)
    slots = 4 * element[one] + 2 * omitted[one] + omitted[other]
    tally = np.bincount(slots, minlength=4 * len(elements)).reshape(-1, 4)
    neither, only_second, only_first, both = tally.T
    found = from_pair_counts(both, only_first, only_second, neither)
    notes = [
        f"First is {side} {names[0]}, second is {side} {names[1]}; difference is first - "
        f"second. Counted as omitted: {rule}.",
        "Limits: Newcombe's hybrid score interval for pairs, 95%; p: McNemar's exact test; "
        "q: Benjamini-Hochberg over the elements that have pairs.",
        NEAR_THE_LIMIT,
        *few_students(table),
    ]
    rows = [_paired_row(name, i, found) for i, name in enumerate(elements)]
    return Report("compare", len(table), rows, {}, notes)


def _check_values(
    table: Table, column: str, names: tuple[str, str], values: Sequence[str]
) -> None:
    there = sorted(set(values))
    faults = [
        Fault(table.file, None, f"no {column} {quoted(name)}", one_of(there, name))
        for name in names
        if name not in there
    ]
    if names[0] == names[1]:
        what = f"{column} {quoted(names[0])} is compared with itself"
        faults.append(Fault(table.file, None, what, f"two different {column}s"))
    if faults:
        raise Faults(faults)


def _pairs(
    table: Table,
    same: Sequence[str],
    second: npt.NDArray[np.bool_],
    judged: npt.NDArray[np.bool_],
) -> tuple[Counts, Counts]:
    """Rows of the first and of the second side that belong together, both judged."""
    identity = identities(table, same)
    sides = [np.flatnonzero(~second), np.flatnonzero(second)]
    faults = []
    for rows in sides:
        _, first_row = np.unique(identity[rows], return_index=True)
        repeated = np.setdiff1d(rows, rows[first_row])
        faults += [
            table.refuse(
                i,
                f"a second mark of the same {', '.join(same)} on one side",
                "one mark",
            )
            for i in repeated.tolist()
        ]
    if faults:
        raise Faults(sorted(faults, key=lambda fault: fault.line or 0))
    one, other = (rows[judged[rows]] for rows in sides)
    _, in_one, in_other = np.intersect1d(
        identity[one], identity[other], assume_unique=True, return_indices=True
    )
    return one[in_one], other[in_other]


def _in_both(a: Table, b: Table) -> list[str]:
    both = len(set(a.texts("student")) & set(b.texts("student")))
    if not both:
        return []
    return [f"Students in both groups: {both}. The two are then not independent."]


def _group_row(element: str, i: int, found: GroupComparison) -> Row:
    return row(
        {"element": element},
        {
            "judged_a": int(found.judged_a[i]),
            "omitted_a": int(found.omitted_a[i]),
            "rate_a": float(found.rate_a[i]),
            "judged_b": int(found.judged_b[i]),
            "omitted_b": int(found.omitted_b[i]),
            "rate_b": float(found.rate_b[i]),
            "difference": float(found.difference[i]),
            "low": float(found.low[i]),
            "high": float(found.high[i]),
            "p": float(found.p[i]),
            "q": float(found.q[i]),
        },
        found.reason(i),
    )


def _paired_row(element: str, i: int, found: PairedComparison) -> Row:
    return row(
        {"element": element},
        {
            "pairs": int(found.pairs[i]),
            "both": int(found.both[i]),
            "only_first": int(found.only_first[i]),
            "only_second": int(found.only_second[i]),
            "neither": int(found.neither[i]),
            "difference": float(found.difference[i]),
            "low": float(found.low[i]),
            "high": float(found.high[i]),
            "p": float(found.p[i]),
            "q": float(found.q[i]),
        },
        found.reason(i),
    )
