"""The six intraclass correlations of Shrout and Fleiss, with their limits."""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf, isnan, nan

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

NAMES = ("icc_1_1", "icc_2_1", "icc_3_1", "icc_1_k", "icc_2_k", "icc_3_k")
METHODS = {
    "1": "one-way random effects",
    "2": "two-way random effects, absolute agreement",
    "3": "two-way mixed effects, consistency",
}
NO_DIFFERENCE = "the subjects' means do not differ enough"
NO_LIMIT = "limits cannot be worked out from such ratings"
TINY = 1e-12  # a mean square this much smaller than the largest is rounding


@dataclass(frozen=True)
class Intraclass:
    """Correlations of a single rater (_1) and of the mean of all k raters (_k)."""

    icc_1_1: Figure
    icc_2_1: Figure
    icc_3_1: Figure
    icc_1_k: Figure
    icc_2_k: Figure
    icc_3_k: Figure


def intraclass(ratings: Floats) -> Intraclass:
    """Correlations over a subjects x raters array of numbers, NaN for missing.

    A missing rating, one rater or one subject leaves all six undefined. A negative
    correlation is given as it is. Limits are 95%: F for the one-way and the consistency
    forms, Satterthwaite's degrees of freedom for 2,1, and 2,k steps those limits up.
    Source: Shrout PE, Fleiss JL (1979) Psychol Bull 86:420.

    >>> scores = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8],
    ...           [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    >>> round(intraclass(np.array(scores, dtype=float)).icc_2_1.value, 2)
    0.29
    """
    subjects, raters = ratings.shape
    missing = int(np.isnan(ratings).sum())
    if raters < 2:
        return _all_undefined(
            subjects, f"it needs two raters or more, but has {raters}"
        )
    if subjects < 2:
        words = f"it needs two subjects or more, but has {subjects}"
        return _all_undefined(subjects, words)
    if missing:
        words = (
            f"it needs every rater's rating of every subject, but {missing} are missing"
        )
        return _all_undefined(subjects, words)
    if ratings.min() == ratings.max():
        return _all_undefined(subjects, "all ratings are equal")
    squares = _MeanSquares.of(ratings)
    values = {
        "icc_1_1": squares.single(squares.within),
        "icc_2_1": squares.absolute(),
        "icc_3_1": squares.single(squares.error),
        "icc_1_k": squares.mean_of_k(squares.within),
        "icc_2_k": squares.absolute_of_k(),
        "icc_3_k": squares.mean_of_k(squares.error),
    }
    one_way = _single_limits(squares, squares.within, subjects * (raters - 1))
    error_df = (subjects - 1) * (raters - 1)
    consistency = _single_limits(squares, squares.error, error_df)
    absolute = _absolute_limits(squares, values["icc_2_1"])
    limits = {
        "icc_1_1": one_way,
        "icc_2_1": absolute,
        "icc_3_1": consistency,
        "icc_1_k": _stepped_up(one_way, raters),
        "icc_2_k": _stepped_up(absolute, raters),
        "icc_3_k": _stepped_up(consistency, raters),
    }
    return Intraclass(
        **{name: _figure(name, values[name], limits[name], subjects) for name in NAMES}
    )


@dataclass(frozen=True)
class _MeanSquares:
    """Mean squares of n subjects by k raters."""

    n: int
    k: int
    between: float
    within: float
    raters: float
    error: float

    @classmethod
    def of(cls, ratings: Floats) -> _MeanSquares:
        n, k = ratings.shape
        centred = ratings - ratings.mean()
        rows, columns = centred.mean(axis=1), centred.mean(axis=0)
        residual = centred - rows[:, None] - columns
        squares = [
            k * (rows**2).sum() / (n - 1),
            ((centred - rows[:, None]) ** 2).sum() / (n * (k - 1)),
            n * (columns**2).sum() / (k - 1),
            (residual**2).sum() / ((n - 1) * (k - 1)),
        ]
        floor = TINY * max(squares)
        return cls(n, k, *(float(x) if x > floor else 0.0 for x in squares))

    def single(self, noise: float) -> float:
        return _ratio(self.between - noise, self.between + (self.k - 1) * noise)

    def mean_of_k(self, noise: float) -> float:
        return _ratio(self.between - noise, self.between)

    def absolute(self) -> float:
        spread = self.k * (self.raters - self.error) / self.n
        whole = self.between + (self.k - 1) * self.error + spread
        return _ratio(self.between - self.error, whole)

    def absolute_of_k(self) -> float:
        # at or below 0 the quotient of two negatives would stand above 1
        whole = self.between + (self.raters - self.error) / self.n
        return _ratio(self.between - self.error, whole) if whole > 0 else nan


def _single_limits(squares: _MeanSquares, noise: float, df: int) -> tuple[float, float]:
    from scipy.special import fdtri

    if noise == 0:
        return nan, nan
    f = squares.between / noise
    low = f / fdtri(squares.n - 1, df, 0.975)
    high = f * fdtri(df, squares.n - 1, 0.975)
    return _ratio(low - 1, low + squares.k - 1), _ratio(high - 1, high + squares.k - 1)


def _absolute_limits(squares: _MeanSquares, icc: float) -> tuple[float, float]:
    from scipy.special import fdtri

    n, k, error = squares.n, squares.k, squares.error
    if error == 0 or isnan(icc):
        return nan, nan
    f = squares.raters / error
    rest = n * (1 + (k - 1) * icc) - k * icc
    top = (k - 1) * (n - 1) * (k * icc * f + rest) ** 2
    bottom = (n - 1) * (k * icc * f) ** 2 + rest**2
    df = _ratio(top, bottom)
    if isnan(df) or df <= 0:
        return nan, nan
    high_f, low_f = fdtri(n - 1, df, 0.975), fdtri(df, n - 1, 0.975)
    spread = k * squares.raters + (k * n - k - n) * error
    low = _ratio(
        n * (squares.between - high_f * error), high_f * spread + n * squares.between
    )
    high = _ratio(
        n * (low_f * squares.between - error), spread + n * low_f * squares.between
    )
    return low, high


def _stepped_up(limits: tuple[float, float], k: int) -> tuple[float, float]:
    # below -1 / (k - 1) the formula turns over and means nothing
    low, high = (
        k * x / (1 + (k - 1) * x) if 1 + (k - 1) * x > TINY else nan for x in limits
    )
    return low, high


def _figure(name: str, value: float, limits: tuple[float, float], n: int) -> Figure:
    kind, size = name[-3], name[-1]
    of = "single rater" if size == "1" else "mean of the raters"
    method = f"ICC({kind},{size}), {METHODS[kind]}, {of}"
    if isnan(value):
        return Figure(None, n=n, method=method, reason=NO_DIFFERENCE)
    if isnan(sum(limits)) or isinf(sum(limits)):
        return Figure(value, n=n, method=method, reason=NO_LIMIT)
    return Figure(value, *limits, n, method)


def _all_undefined(n: int, reason: str) -> Intraclass:
    return Intraclass(**{name: _undefined(name, n, reason) for name in NAMES})


def _undefined(name: str, n: int, reason: str) -> Figure:
    return Figure(None, n=n, method=f"ICC({name[-3]},{name[-1]})", reason=reason)


def _ratio(part: float, whole: float) -> float:
    return float(part / whole) if abs(whole) > TINY * abs(part) and whole else nan
