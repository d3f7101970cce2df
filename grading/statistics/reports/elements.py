"""Item analysis from a table of credits, one student's element a row."""

from __future__ import annotations

import numpy as np

from grading.statistics.items import Items, items
from grading.statistics.proportions import Floats
from grading.statistics.reports.report import Report, row
from grading.statistics.table import Column, Table, number, read_table, text
from rubric.faults import Fault, Faults

MOST_POINTS = 1_000_000
COLUMNS = (
    Column("student", text),
    Column("element", text),
    Column("credit", number(0, 1), may_be_empty=True),
    Column("points", number(0, MOST_POINTS), optional=True),
)
BESIDE_ALPHA = (
    "Alpha is the agreement of the elements with each other on sheets marked once. It "
    "includes neither the marker nor the occasion."
)


def items_report(file: str, data: bytes, complete: bool = False) -> Report:
    """Difficulty, discrimination and reliability; an empty credit or no row is unseen."""
    table = read_table(file, data, COLUMNS, ("student", "element"))
    students, student = table.coded("student")
    elements, element = table.coded("element")
    credits_ = np.full((len(students), len(elements)), np.nan)
    credits_[student, element] = table.numbers("credit")
    found = items(credits_, points_of(table, "element"), complete)
    rows = [
        row(
            {"element": name},
            {
                "n": item.n,
                "difficulty": item.difficulty,
                "item_rest_correlation": item.item_rest_correlation,
                "discrimination": item.discrimination,
                "alpha_if_left_out": item.alpha_if_left_out,
            },
        )
        for name, item in zip(elements, found.items, strict=True)
    ]
    whole = {
        "cronbach_alpha": found.cronbach_alpha,
        "kr20": found.kr20,
        "standard_error_of_measurement": found.standard_error_of_measurement,
        "spearman_brown_half": found.spearman_brown_half,
        "spearman_brown_double": found.spearman_brown_double,
        "group_size_27": found.group_size_27,
    }
    notes = [BESIDE_ALPHA, *_notes(found, elements, len(students), credits_)]
    return Report("items", len(students), rows, whole, notes)


def points_of(table: Table, column: str) -> Floats:
    """Points of each name in a column, in order of appearance; 1 without a column points.

    Raises Faults where one name has different points on different lines.
    """
    names, own = table.coded(column)
    if "points" not in table:
        return np.ones(len(names))
    points = table.numbers("points")
    _, first = np.unique(own, return_index=True)
    expected = points[first][own]
    faults = [
        Fault(
            table.file,
            table.lines[i],
            f"{column} {names[own[i]]} has {points[i]:g} points",
            f"{expected[i]:g}, as on line {table.lines[first[own[i]]]}",
        )
        for i in np.flatnonzero(points != expected).tolist()
    ]
    if faults:
        raise Faults(faults)
    return points[first]


def _notes(
    found: Items, elements: list[str], students: int, credits_: Floats
) -> list[str]:
    notes = []
    if found.set_aside:
        names = ", ".join(elements[i] for i in found.set_aside)
        notes.append(
            f"{len(found.set_aside)} element{'' if len(found.set_aside) == 1 else 's'} set "
            f"aside, not seen on more than 10% of sheets: {names}."
        )
    if found.complete_only:
        notes.append(f"Complete sheets only: {found.sheets} of {students}.")
    elif np.isnan(np.delete(credits_, found.set_aside, axis=1)).any():
        notes.append(
            "Covariances come from the sheets that have both elements: at least "
            f"{found.smallest_pair} for every pair."
        )
    return notes
