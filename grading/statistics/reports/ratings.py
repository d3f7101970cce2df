"""Agreement and severity from a table of ratings, one rating a row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import fields

import numpy as np

from grading.statistics.agreement import Agreement, agreement
from grading.statistics.figure import Figure
from grading.statistics.intraclass import Intraclass, intraclass
from grading.statistics.omissions import JUDGED
from grading.statistics.proportions import Floats
from grading.statistics.reports.report import Report, row
from grading.statistics.severity import severity
from grading.statistics.table import NUMBER, Column, Table, number, read_table, text
from rubric.faults import Faults, one_of, quoted

STATES = {*JUDGED, "unseen", "excused"}
KEY = ("subject", "rater")
WORDS = (Column("subject", text), Column("rater", text), Column("rating", text))
NUMBERS = (*WORDS[:2], Column("rating", number(-1e9, 1e9)))
MOST_DIGITS = 15  # a longer number is a name: two of them could read as one


def agreement_report(
    file: str, data: bytes, order: Sequence[str] | None = None
) -> Report:
    """Every coefficient of agreement; `order` lists the ratings from lowest to highest.

    Where every rating is a state, unseen is no rating: it is counted apart.
    """
    table = read_table(file, data, WORDS, KEY)
    subjects, subject = table.coded("subject")
    raters, rater = table.coded("rater")
    ratings = table.texts("rating")
    states = bool(ratings) and set(ratings) <= STATES and "unseen" not in (order or ())
    missing = {"unseen"} if states else set()
    categories, numbers = _categories(table, missing, order)
    position = {name: i for i, name in enumerate(categories)} | dict.fromkeys(
        missing, -1
    )
    if numbers is not None and not order:
        merged = list(dict.fromkeys(numbers.tolist()))
        position = {
            c: merged.index(n) for c, n in zip(categories, numbers, strict=True)
        }
        numbers = np.array(merged)
    matrix = np.full((len(subjects), len(raters)), -1)
    matrix[subject, rater] = [position[rating] for rating in ratings]
    size = len(categories) if numbers is None else len(numbers)
    found = agreement(matrix, size, numbers, ordered=bool(order))
    whole = _figures(found) | _figures(_intraclass(matrix, numbers))
    notes = [_order_note(categories, numbers, order)]
    if "unseen" in ratings and states:
        whole |= _unseen(matrix, np.bincount(subject, minlength=len(subjects)))
        notes.append("A rating of unseen is no rating: it is counted apart.")
    return Report("agreement", len(subjects), [], whole, notes)


def severity_report(file: str, data: bytes) -> Report:
    """Each rater's effect and each subject's adjusted mean."""
    table = read_table(file, data, NUMBERS, KEY)
    subjects, subject = table.coded("subject")
    raters, rater = table.coded("rater")
    ratings = np.full((len(subjects), len(raters)), np.nan)
    ratings[subject, rater] = table.numbers("rating")
    found = severity(ratings, subjects, raters)
    rows = [
        row(
            {"rater": own.rater},
            {
                "n": own.n,
                "mean": own.mean,
                "effect": own.effect,
                "standard_error": own.standard_error,
            },
        )
        for own in found.raters
    ] + [
        row({"subject": name}, {"adjusted_mean": mean})
        for name, mean in zip(found.subjects, found.adjusted_means, strict=True)
    ]
    whole = {
        "residual_variance": found.residual_variance,
        "residual_df": found.residual_df,
    }
    notes = [
        "A positive effect: this rater gives higher ratings. Adjusted mean: what the "
        "average rater would give. Neither changes a result; mark again instead."
    ]
    return Report("severity", len(table), rows, whole, notes)


def _categories(
    table: Table, missing: set[str], order: Sequence[str] | None
) -> tuple[list[str], Floats | None]:
    """The categories in the order of their weights, and their numbers if all have one."""
    ratings = table.texts("rating")
    seen = set(ratings) - missing
    if order:
        faults = [
            table.refuse(
                i, f"rating {quoted(rating)} is not in the order", one_of(order, rating)
            )
            for i, rating in enumerate(ratings)
            if rating not in order and rating not in missing
        ]
        if faults:
            raise Faults(faults)
        seen = set(order)
    numeric = bool(seen) and all(
        NUMBER.fullmatch(rating) and len(rating) <= MOST_DIGITS for rating in seen
    )
    names = list(order) if order else sorted(seen, key=float if numeric else str)
    return names, np.array([float(name) for name in names]) if numeric else None


def _intraclass(
    matrix: np.typing.NDArray[np.int64], numbers: Floats | None
) -> Intraclass:
    if numbers is None:
        reason = "the ratings are not numbers"
        none = Figure(
            None, n=len(matrix), method="intraclass correlation", reason=reason
        )
        return Intraclass(*[none] * 6)
    return intraclass(np.where(matrix < 0, np.nan, numbers[matrix]))


def _figures(found: Agreement | Intraclass) -> dict[str, Figure]:
    return {field.name: getattr(found, field.name) for field in fields(found)}


def _order_note(
    categories: Sequence[str], numbers: Floats | None, order: Sequence[str] | None
) -> str:
    listed = ", ".join(categories[:12]) + (", ..." if len(categories) > 12 else "")
    if order:
        return f"Order of the ratings, as given: {listed}."
    if numbers is not None:
        return f"Order of the ratings, by number: {listed}."
    return (
        f"Order of the ratings, by alphabet: {listed}. It decides the weighted kappas: "
        "if the ratings have an order of their own, give it with --order."
    )


def _unseen(
    matrix: np.typing.NDArray[np.int64], marked: np.typing.NDArray[np.int64]
) -> dict[str, Figure]:
    """How many subjects all, some and none of those who marked them could see."""
    seen = (matrix >= 0).sum(axis=1)
    kinds = Counter(
        "all" if s == m else "some" if s else "none"
        for s, m in zip(seen.tolist(), marked.tolist(), strict=True)
    )
    words = {
        "seen_by_all": ("all", "subjects that every rater could see"),
        "seen_by_some": (
            "some",
            "subjects that some raters could see and some could not",
        ),
        "seen_by_none": ("none", "subjects that no rater could see"),
    }
    return {
        name: Figure(kinds[kind], n=len(matrix), method=method)
        for name, (kind, method) in words.items()
    }
