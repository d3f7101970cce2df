"""Groups against the rate of all: a p-chart and a funnel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics.figure import Figure
from grading.statistics.proportions import Counts, Floats

TAILS = {"low_95": 0.025, "high_95": 0.975, "low_998": 0.001, "high_998": 0.999}
ROUNDING = 1e-12  # a rate this near its limit lies on it
NO_SPREAD = "every rate is 0 or every rate is 1: the limits have no width"


@dataclass(frozen=True)
class Chart:
    """Rate and limits of each group, NaN where its n is 0; groups outside by position."""

    center: Figure
    rate: Floats
    low_3sd: Floats
    high_3sd: Floats
    low_95: Floats
    high_95: Floats
    low_998: Floats
    high_998: Floats
    outside_3sd: tuple[int, ...]
    outside_95: tuple[int, ...]
    outside_998: tuple[int, ...]


def chart(n: npt.ArrayLike, count: npt.ArrayLike) -> Chart:
    """Chart the rates count / n of groups, both an entry a group.

    p-chart: the rate of all -+ 3 standard deviations at each group's n. Funnel: exact
    binomial limits at 95% and 99.8% with interpolation: r is the least integer with
    P(X <= r) > t, the limit (r - (P(X <= r) - t) / P(X = r)) / n. All are clipped to 0
    to 1; outside means strictly beyond.
    Sources: Montgomery DC, Introduction to Statistical Quality Control (p-chart);
    Spiegelhalter DJ (2005) Stat Med 24:1185, appendix A.1.1 (funnel).
    Raises ValueError where a count is below 0 or above its n.

    >>> found = chart([40, 22, 65], [4, 9, 10])
    >>> round(found.center.value, 4), found.outside_3sd, found.outside_95
    (0.1811, (), (1,))
    """
    n, count = np.asarray(n, dtype=np.int64), np.asarray(count, dtype=np.int64)
    if ((count < 0) | (count > n)).any():
        raise ValueError("a count must be 0 to its n")
    size = np.where(n > 0, n, np.nan)
    rate = count / size
    total = int(n.sum())
    if total == 0:
        center = Figure(None, method="rate of all", reason="no group has any n")
        nothing = np.full(n.shape, np.nan)
        limits = dict.fromkeys(("low_3sd", "high_3sd", *TAILS), nothing)
        return Chart(
            center, rate, **limits, outside_3sd=(), outside_95=(), outside_998=()
        )
    middle = count.sum() / total
    limits = limits_at(n, float(middle))
    return Chart(
        center=Figure(float(middle), n=total, method="rate of all"),
        rate=rate,
        **limits,
        outside_3sd=_outside(rate, limits["low_3sd"], limits["high_3sd"]),
        outside_95=_outside(rate, limits["low_95"], limits["high_95"]),
        outside_998=_outside(rate, limits["low_998"], limits["high_998"]),
    )


def limits_at(n: npt.ArrayLike, center: float) -> dict[str, Floats]:
    """The six limits of a group of each n round a rate of all, by their names in Chart.

    >>> limits = limits_at([36], 0.5)
    >>> float(limits["low_3sd"][0]), round(float(limits["high_95"][0]), 4)
    (0.25, 0.6505)
    """
    n = np.asarray(n, dtype=np.int64)
    reach = 3 * np.sqrt(center * (1 - center) / np.where(n > 0, n, np.nan))
    return {
        "low_3sd": np.maximum(center - reach, 0.0),
        "high_3sd": np.minimum(center + reach, 1.0),
        **{name: _funnel(n, center, tail) for name, tail in TAILS.items()},
    }


def _funnel(n: Counts, p: float, tail: float) -> Floats:
    from scipy.special import bdtr

    if p in (0, 1):  # no spread: interpolation would draw a limit short of the rate
        return np.where(n > 0, p, np.nan)
    low, high = np.full(n.shape, -1), n.copy()
    # halving holds P(X <= low) <= tail < P(X <= high); all groups at once
    for _ in range(int(n.max()).bit_length() + 1):
        middle = (low + high) // 2
        above = (middle >= 0) & (bdtr(np.maximum(middle, 0), n, p) > tail)
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    at = bdtr(high, n, p)
    below = np.where(high > 0, bdtr(np.maximum(high - 1, 0), n, p), 0.0)
    size = np.where(n > 0, n, np.nan)
    limit: Floats = np.clip((high - (at - tail) / (at - below)) / size, 0.0, 1.0)
    return limit


def _outside(rate: Floats, low: Floats, high: Floats) -> tuple[int, ...]:
    beyond = (rate < low - ROUNDING) | (rate > high + ROUNDING)
    return tuple(int(i) for i in np.flatnonzero(beyond))
