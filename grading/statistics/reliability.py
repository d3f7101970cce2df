"""Cronbach's alpha and what is built on it, from covariances of element scores."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

ALPHA = "Cronbach's alpha, Feldt's interval"
TOO_FEW = "it needs two students or more who were seen on the same elements"
NO_SPREAD = "every student has the same total"
TINY = 1e-12  # a variance this small against the points is rounding


@dataclass(frozen=True)
class Scores:
    """Covariances of the elements' points, elements x elements, from n students.

    Where elements were unseen, n is the number of students of the smallest pair.
    """

    covariances: Floats
    n: int

    def alpha(self) -> Figure:
        """Cronbach's alpha with Feldt's 95% interval."""
        reason = self._undefined()
        if reason:
            return Figure(None, n=self.n, method=ALPHA, reason=reason)
        value = _alpha(self.covariances)
        return Figure(
            value, *feldt(value, self.n, len(self.covariances)), self.n, ALPHA
        )

    def alpha_if_left_out(self, j: int) -> Figure:
        """Alpha of the other elements."""
        method = "Cronbach's alpha of the other elements"
        kept = np.delete(np.delete(self.covariances, j, axis=0), j, axis=1)
        reason = Scores(kept, self.n)._undefined()
        if reason:
            return Figure(None, n=self.n, method=method, reason=reason)
        return Figure(_alpha(kept), n=self.n, method=method)

    def kr20(self, binary: bool, equal_points: bool) -> Figure:
        """Kuder-Richardson formula 20: alpha where every credit is 0 or 1."""
        method = "Kuder-Richardson formula 20"
        reason = self._undefined()
        if not binary:
            reason = "a credit is neither 0 nor 1"
        elif not equal_points:
            reason = "the elements differ in points"
        if reason:
            return Figure(None, n=self.n, method=method, reason=reason)
        return Figure(_alpha(self.covariances), n=self.n, method=method)

    def error_of_measurement(self) -> Figure:
        """Standard error of measurement in points: SD of the totals x sqrt(1 - alpha)."""
        method = "SD of the totals x sqrt(1 - alpha), in points"
        reason = self._undefined()
        if reason:
            return Figure(None, n=self.n, method=method, reason=reason)
        total = float(self.covariances.sum())
        value = sqrt(total * max(0.0, 1 - _alpha(self.covariances)))
        return Figure(value, n=self.n, method=method)

    def stepped(self, times: float) -> Figure:
        """Alpha of a test `times` as long, by Spearman-Brown."""
        method = f"Spearman-Brown, {times:g} times the length"
        reason = self._undefined()
        value = None if reason else spearman_brown(_alpha(self.covariances), times)
        if value is None:
            reason = reason or "alpha is too far below 0 to be stepped up"
        return Figure(value, n=self.n, method=method, reason=reason)

    def _undefined(self) -> str | None:
        if len(self.covariances) < 2:
            return "it needs two elements or more"
        if self.n < 2 or np.isnan(self.covariances).any():
            return TOO_FEW
        total, size = self.covariances.sum(), np.abs(self.covariances).sum()
        if abs(total) <= TINY * size:
            return NO_SPREAD
        if total < 0:
            return "the sheets of its pairs differ too much to add up"
        return None


def feldt(
    alpha: float, n: int, elements: int, confidence: float = 0.95
) -> tuple[float, float]:
    """Feldt's interval of alpha from n students and a number of elements, F form.

    1 - (1 - alpha) F, F the upper and the lower quantile with n - 1 and
    (n - 1)(elements - 1) degrees of freedom. Needs two or more of both.
    Source: Feldt LS, Woodruff DJ, Salih FA (1987) Appl Psychol Meas 11:93.

    >>> [round(limit, 4) for limit in feldt(0.79, n=41, elements=26, confidence=0.9)]
    [0.7047, 0.8616]
    """
    from scipy.special import fdtri

    tail = (1 - confidence) / 2
    df = n - 1, (n - 1) * (elements - 1)
    low, high = (1 - (1 - alpha) * float(fdtri(*df, p)) for p in (1 - tail, tail))
    return low, high


def spearman_brown(reliability: float, times: float) -> float | None:
    """Reliability of a test `times` as long; None where the formula has no meaning.

    Source: Spearman C (1910) Br J Psychol 3:271; Brown W (1910) Br J Psychol 3:296.

    >>> round(spearman_brown(0.1657417684, 4), 4)
    0.4428
    """
    whole = 1 + (times - 1) * reliability
    return times * reliability / whole if whole > TINY else None


def _alpha(covariances: Floats) -> float:
    k = len(covariances)
    return float(k / (k - 1) * (1 - np.trace(covariances) / covariances.sum()))
