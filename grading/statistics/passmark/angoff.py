"""Angoff: judges say how likely a borderline student is to earn each element."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

METHOD = "Angoff"
NO_POINTS = "the elements have no points"


@dataclass(frozen=True)
class Angoff:
    """Pass marks in percent: of all judges, and of each in the order given."""

    pass_mark: Figure
    standard_error: Figure
    judges: tuple[Figure, ...]


def angoff(probabilities: Floats, points: Floats) -> Angoff:
    """Pass mark from a judges x elements array of probabilities, NaN where not judged.

    Sum of the judges' mean probability x points, in percent of the points. The standard
    error is the SD of the judges' own pass marks / sqrt(judges); it needs two judges and
    every cell.
    Source: Angoff WH (1971) in Thorndike RL, Educational Measurement, 2nd ed., 508-600.

    >>> found = angoff(np.array([[0.9, 0.6], [0.7, 0.6]]), np.array([1.0, 3.0]))
    >>> [round(figure.value, 2) for figure in (found.pass_mark, *found.judges)]
    [65.0, 67.5, 62.5]
    """
    judges = len(probabilities)
    whole = float(points.sum())
    seen = ~np.isnan(probabilities)
    if not judges or not whole:
        reason = NO_POINTS if judges else "there is no judge"
        none = Figure(None, n=judges, method=METHOD, reason=reason)
        return Angoff(none, none, (none,) * judges)
    mean = np.where(seen, probabilities, 0.0).sum(axis=0) / seen.sum(axis=0)
    own = np.where(seen, probabilities, 0.0) @ points / whole * 100
    return Angoff(
        pass_mark=Figure(float(mean @ points) / whole * 100, n=judges, method=METHOD),
        standard_error=_standard_error(own, complete=bool(seen.all())),
        judges=tuple(
            Figure(float(mark), n=int(row.sum()), method=METHOD)
            if row.all()
            else _incomplete(int((~row).sum()), int(row.sum()))
            for mark, row in zip(own, seen, strict=True)
        ),
    )


def _standard_error(own: Floats, complete: bool) -> Figure:
    method = "SD of the judges' pass marks / sqrt(judges)"
    n = len(own)
    if n < 2:
        return Figure(None, n=n, method=method, reason="it needs two judges or more")
    if not complete:
        reason = "a judge left out an element"
        return Figure(None, n=n, method=method, reason=reason)
    return Figure(float(own.std(ddof=1)) / sqrt(n), n=n, method=method)


def _incomplete(missing: int, n: int) -> Figure:
    reason = f"this judge left out {missing} element{'' if missing == 1 else 's'}"
    return Figure(None, n=n, method=METHOD, reason=reason)
