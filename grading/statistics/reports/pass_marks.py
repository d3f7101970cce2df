"""Pass marks from tables of judgements, ratings or groups, by method."""

from __future__ import annotations

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.passmark.angoff import angoff
from grading.statistics.passmark.borderline import (
    borderline_group,
    borderline_regression,
)
from grading.statistics.passmark.contrasting import contrasting_groups
from grading.statistics.passmark.ebel import ebel
from grading.statistics.passmark.hofstee import hofstee
from grading.statistics.passmark.rate import CAUTION, FEW_STUDENTS, pass_rate
from grading.statistics.proportions import Floats
from grading.statistics.reports.elements import MOST_POINTS, points_of
from grading.statistics.reports.report import Report, Row, row
from grading.statistics.table import Column, number, read_table, text, word
from rubric.faults import Faults

SHARE, PERCENT = number(0, 1), number(0, 100)
POINTS = Column("points", number(0, MOST_POINTS), optional=True)
STUDENT = Column("student", text)
LIMITS = ("min_pass", "max_pass", "min_fail", "max_fail")
GRADES = 100  # a rating scale has fewer whole steps


def angoff_report(file: str, data: bytes, scores: Floats | None) -> Report:
    """Angoff, with the pass mark of each judge."""
    columns = (
        Column("judge", text),
        Column("element", text),
        Column("probability", SHARE),
        POINTS,
    )
    table = read_table(file, data, columns, ("judge", "element"))
    judges, judge = table.coded("judge")
    elements, element = table.coded("element")
    probabilities = np.full((len(judges), len(elements)), np.nan)
    probabilities[judge, element] = table.numbers("probability")
    found = angoff(probabilities, points_of(table, "element"))
    rows = [
        row({"judge": name}, {"pass_mark": mark})
        for name, mark in zip(judges, found.judges, strict=True)
    ]
    whole = {"pass_mark": found.pass_mark, "standard_error": found.standard_error}
    return _report(len(judges), rows, _with_rate(whole, scores), [])


def ebel_report(file: str, data: bytes, scores: Floats | None) -> Report:
    """Ebel, with the elements and the expected share of each cell."""
    columns = (
        Column("element", text),
        Column("relevance", text),
        Column("difficulty", text),
        Column("expected", SHARE),
        POINTS,
    )
    table = read_table(file, data, columns, ("element",))
    pairs = list(zip(table.texts("relevance"), table.texts("difficulty"), strict=True))
    expected = table.numbers("expected")
    first: dict[tuple[str, str], int] = {}
    faults = []
    for i, pair in enumerate(pairs):
        j = first.setdefault(pair, i)
        if expected[i] != expected[j]:
            what = f"expected is {expected[i]:g} in the cell {' and '.join(pair)}"
            allowed = f"{expected[j]:g}, as on line {table.lines[j]}"
            faults.append(table.refuse(i, what, allowed))
    if faults:
        raise Faults(faults)
    rows = [
        row(
            {"relevance": pair[0], "difficulty": pair[1]},
            {"elements": pairs.count(pair), "expected": float(expected[i])},
        )
        for pair, i in first.items()
    ]
    whole = {"pass_mark": ebel(expected, points_of(table, "element"))}
    return _report(len(table), rows, _with_rate(whole, scores), [])


def hofstee_report(file: str, data: bytes, scores: Floats) -> Report:
    """Hofstee, with the judges' means and the curve of students below each score."""
    columns = (Column("judge", text), *(Column(name, PERCENT) for name in LIMITS))
    table = read_table(file, data, columns, ("judge",))
    judges = np.stack([table.numbers(name) for name in LIMITS], axis=1)
    faults = [
        table.refuse(i, f"{low} is above {high}", f"{low} at most {high}")
        for low, high in (LIMITS[:2], LIMITS[2:])
        for i in np.flatnonzero(table.numbers(low) > table.numbers(high)).tolist()
    ]
    if faults:
        raise Faults(sorted(faults, key=lambda fault: fault.line or 0))
    found = hofstee(judges, scores)
    rows = [
        row({"percent": f"{score:g}"}, {"below": float(below)})
        for score, below in zip(found.scores, found.below, strict=True)
    ]
    named = ("pass_mark", "fail_rate", "pass_rate", *LIMITS)
    whole = {name: getattr(found, name) for name in named}
    return _report(len(table), rows, whole, _caution(len(scores)))


def borderline_group_report(file: str, data: bytes, borderline: str) -> Report:
    """Borderline group, with the students of each rating."""
    columns = (STUDENT, Column("percent", PERCENT), Column("rating", text))
    table = read_table(file, data, columns, ("student",))
    percents, ratings = table.numbers("percent"), np.array(table.texts("rating"))
    found = borderline_group(percents, ratings == borderline)
    rows = [
        _grade(name, percents[ratings == name])
        for name in dict.fromkeys([*table.texts("rating"), borderline])
    ]
    whole = {
        "pass_mark": found.pass_mark,
        "mean": found.mean,
        "n_borderline": found.n_borderline,
        "pass_rate": found.pass_rate,
    }
    return _report(len(table), rows, whole, _caution(len(table)))


def contrasting_groups_report(file: str, data: bytes) -> Report:
    """Contrasting groups, with size, mean and spread of both."""
    columns = (
        STUDENT,
        Column("percent", PERCENT),
        Column("group", word(("competent", "not"))),
    )
    table = read_table(file, data, columns, ("student",))
    groups = np.array(table.texts("group"), dtype=object)
    found = contrasting_groups(table.numbers("percent"), groups == "competent")
    rows = [
        row({"group": name}, {"n": group.n, "mean": group.mean, "sd": group.sd})
        for name, group in (("not", found.incompetent), ("competent", found.competent))
    ]
    whole = {
        "pass_mark": found.pass_mark,
        "least_error_cut": found.least_error_cut,
        "least_errors": found.least_errors,
        "pass_rate": found.pass_rate,
    }
    return _report(len(table), rows, whole, _caution(len(table)))


def borderline_regression_report(file: str, data: bytes, borderline: float) -> Report:
    """Borderline regression, with the students of each rating."""
    columns = (
        STUDENT,
        Column("percent", PERCENT),
        Column("rating", number(-1e6, 1e6)),
    )
    table = read_table(file, data, columns, ("student",))
    percents, ratings = table.numbers("percent"), table.numbers("rating")
    found = borderline_regression(percents, ratings, borderline)
    grades = _grades(ratings, borderline)
    rows = [_grade(f"{grade:g}", percents[ratings == grade]) for grade in grades]
    nobody = [f"{grade:g}" for grade in grades if grade not in ratings]
    notes = _caution(len(table))
    if nobody:
        notes.append(f"Ratings nobody received: {', '.join(nobody)}.")
    if len(table) and not ratings.min() <= borderline <= ratings.max():
        notes.append(
            "The borderline lies outside the ratings given: the line is extended."
        )
    named = (
        "pass_mark",
        "standard_error",
        "pass_rate",
        "slope",
        "intercept",
        "r_squared",
    )
    whole = {name: getattr(found, name) for name in named}
    return _report(len(table), rows, whole, notes)


def read_scores(file: str, data: bytes) -> Floats:
    """The percents of a file of scores (student, percent)."""
    columns = (STUDENT, Column("percent", PERCENT))
    return read_table(file, data, columns, ("student",)).numbers("percent")


def _grades(ratings: Floats, borderline: float) -> list[float]:
    """The ratings given, the borderline, and the whole steps between that are missing."""
    given = {float(rating) for rating in ratings} | {borderline}
    low, high = min(given), max(given)
    if all(grade.is_integer() for grade in given) and high - low < GRADES:
        given |= {float(grade) for grade in range(int(low), int(high) + 1)}
    return sorted(given)


def _grade(name: str, percents: Floats) -> Row:
    mean = float(percents.mean()) if len(percents) else float("nan")
    values = {"n": len(percents), "mean": mean}
    return row({"rating": name}, values, "no student received it")


def _with_rate(whole: dict[str, Figure], scores: Floats | None) -> dict[str, Figure]:
    if scores is None:
        return whole
    return {**whole, "pass_rate": pass_rate(scores, whole["pass_mark"])}


def _caution(students: int) -> list[str]:
    return [CAUTION] if students < FEW_STUDENTS else []


def _report(
    n: int, rows: list[Row], whole: dict[str, Figure], notes: list[str]
) -> Report:
    return Report("passmark", n, rows, whole, notes)
