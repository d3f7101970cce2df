"""Contrasting groups: students judged competent against those judged not."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt

import numpy as np
import numpy.typing as npt

from grading.statistics.figure import Figure
from grading.statistics.passmark.rate import pass_rate
from grading.statistics.proportions import Floats

METHOD = "contrasting groups, crossing of two normal curves"
CUT = "cut with the fewest students on the wrong side"
ROUNDING = 1e-9


@dataclass(frozen=True)
class Group:
    n: int
    mean: Figure
    sd: Figure


@dataclass(frozen=True)
class ContrastingGroups:
    """Pass mark and cut in percent; `least_errors` counts students at that cut."""

    pass_mark: Figure
    least_error_cut: Figure
    least_errors: Figure
    pass_rate: Figure
    competent: Group
    incompetent: Group


def contrasting_groups(
    percents: Floats, is_competent: npt.NDArray[np.bool_]
) -> ContrastingGroups:
    """Pass mark where normal curves fitted to both groups, equal in weight, cross.

    The crossing lies between the means, else there is none. The least-error cut is a
    midpoint between neighbouring scores: fewest competent students below it and others
    at or above it; of several the one nearest the crossing, then the lower.
    Source: Livingston SA, Zieky MJ (1982) Passing Scores, 40-47.

    >>> percents = np.array([40.0, 44, 52, 60, 64, 72])
    >>> found = contrasting_groups(percents, percents > 55)
    >>> round(found.pass_mark.value, 6), found.least_error_cut.value
    (55.333333, 56.0)
    """
    competent = _group(percents[is_competent])
    incompetent = _group(percents[~is_competent])
    mark = _crossing(incompetent, competent, len(percents))
    cut, errors = _least_errors(percents, is_competent, mark.value)
    return ContrastingGroups(
        pass_mark=mark,
        least_error_cut=cut,
        least_errors=errors,
        pass_rate=pass_rate(percents, mark),
        competent=competent,
        incompetent=incompetent,
    )


def _group(percents: Floats) -> Group:
    n = len(percents)
    none = "the group has {} student" + ("" if n else "s")
    mean = Figure(None, method="mean", reason=none.format("no"))
    sd = Figure(None, n=n, method="standard deviation", reason=none.format(n or "no"))
    if n:
        mean = Figure(float(percents.mean()), n=n, method="mean")
    if n > 1:
        sd = Figure(float(percents.std(ddof=1)), n=n, method="standard deviation")
    return Group(n, mean, sd)


def _crossing(low: Group, high: Group, n: int) -> Figure:
    def none(reason: str) -> Figure:
        return Figure(None, n=n, method=METHOD, reason=reason)

    m1, s1, m2, s2 = low.mean.value, low.sd.value, high.mean.value, high.sd.value
    if m1 is None or m2 is None or s1 is None or s2 is None:
        return none("it needs two students or more in each group")
    if s1 == 0 or s2 == 0:
        return none("all students of a group have the same percent")
    if m1 >= m2:
        return none("the competent students do not score higher on average")
    if abs(s1 - s2) <= ROUNDING * max(s1, s2):
        return Figure((m1 + m2) / 2, n=n, method=METHOD)
    # where the logs of both densities are equal, x counted from the lower mean:
    # a x2 + b x + c = 0; of the two roots by way of q, for spreads that hardly differ
    gap = m2 - m1
    a = 1 / s1**2 - 1 / s2**2
    b = 2 * gap / s2**2
    c = 2 * log(s1 / s2) - (gap / s2) ** 2
    inside = b * b - 4 * a * c
    q = -(b + sqrt(max(0.0, inside))) / 2
    roots = [m1 + q / a, m1 + c / q] if inside >= 0 else []
    between = [root for root in roots if m1 < root < m2]
    if not between:
        return none("the two curves do not cross between their means")
    return Figure(between[0], n=n, method=METHOD)


def _least_errors(
    percents: Floats, is_competent: npt.NDArray[np.bool_], crossing: float | None
) -> tuple[Figure, Figure]:
    n = len(percents)
    scores = np.unique(percents)
    if len(scores) < 2 or is_competent.all() or not is_competent.any():
        one_group = n and (is_competent.all() or not is_competent.any())
        reason = (
            "all students are in one group" if one_group else "all percents are equal"
        )
        none = Figure(
            None, n=n, method=CUT, reason=reason if n else "there is no student"
        )
        return none, none
    cuts = (scores[1:] + scores[:-1]) / 2
    competent = np.sort(percents[is_competent])
    others = np.sort(percents[~is_competent])
    errors = (
        np.searchsorted(competent, cuts) + len(others) - np.searchsorted(others, cuts)
    )
    best = cuts[errors == errors.min()]
    if crossing is not None:
        away = np.abs(best - crossing)
        best = best[away <= away.min() + ROUNDING]
    cut = Figure(float(best[0]), n=n, method=CUT)
    return cut, Figure(
        int(errors.min()), n=n, method="students on the wrong side of it"
    )
