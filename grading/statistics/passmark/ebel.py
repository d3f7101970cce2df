"""Ebel: elements sorted by relevance and difficulty, a share expected of each cell."""

from __future__ import annotations

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

METHOD = "Ebel"


def ebel(expected: Floats, points: Floats) -> Figure:
    """Pass mark in percent: the points-weighted mean of the expected shares.

    `expected` holds for each element the share (0 to 1) that its cell of relevance and
    difficulty asks of a borderline student.
    Source: Ebel RL (1972) Essentials of Educational Measurement, 492-494.

    >>> round(ebel(np.array([0.9, 0.5]), np.array([3.0, 1.0])).value, 6)
    80.0
    """
    whole = float(points.sum())
    if not whole:
        reason = "the elements have no points" if len(points) else "there is no element"
        return Figure(None, n=len(points), method=METHOD, reason=reason)
    share = float(np.dot(expected, points)) / whole
    return Figure(share * 100, n=len(points), method=METHOD)
