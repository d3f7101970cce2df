"""Who would pass: the share of students at or above a pass mark."""

from __future__ import annotations

from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

FEW_STUDENTS = 50
CAUTION = (
    f"Fewer than {FEW_STUDENTS} students: a pass mark from so few is uncertain, and those "
    "of borderline regression were found unacceptably so (Pell and others, Med Teach 2016)."
)
METHOD = "percent of students at or above the pass mark"
ROUNDING = 1e-9  # a student at the pass mark passes, whatever the last bit says


def pass_rate(percents: Floats, pass_mark: Figure) -> Figure:
    """Percent of students with percent >= pass mark.

    >>> import numpy as np
    >>> pass_rate(np.array([59.9, 60.0, 71.0, 80.0]), Figure(60.0)).value
    75.0
    """
    if pass_mark.value is None:
        reason = pass_mark.reason
        return Figure(None, n=len(percents), method=METHOD, reason=reason)
    if not len(percents):
        return Figure(None, method=METHOD, reason="there is no student")
    share = float((percents >= pass_mark.value - ROUNDING).mean())
    return Figure(100 * share, n=len(percents), method=METHOD)
