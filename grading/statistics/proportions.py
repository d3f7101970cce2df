"""Proportions and their differences: intervals and exact tests, many at a time.

Everything takes integer arrays of one shape (an entry an element) and gives float
arrays of that shape. NaN stands for undefined and is turned into words by the callers.
numpy alone: a page that compares cohorts must not pay for loading scipy.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Counts = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

Z95 = 1.959963984540054  # norm.ppf(0.975)
NO_MORE_PROBABLE = 1 + 1e-7  # tables whose odds differ by rounding alone count as equal


def wilson(events: npt.ArrayLike, n: npt.ArrayLike) -> tuple[Floats, Floats]:
    """95% limits of events / n by Wilson's score interval; NaN where n is 0.

    (p + z2/2n -+ z sqrt(p (1 - p) / n + z2/4n2)) / (1 + z2/n), z2 = z squared; the
    lower limit of 0 of n and the upper limit of n of n are exactly 0 and 1.
    Source: Wilson EB (1927) J Am Stat Assoc 22:209; Newcombe RG (1998) Stat Med 17:857,
    method 3.

    >>> low, high = wilson([81, 0], [263, 20])
    >>> low.round(4).tolist(), high.round(4).tolist()
    ([0.2553, 0.0], [0.3662, 0.1611])
    """
    events, n = _counts(events, n)
    size = np.where(n > 0, n, np.nan)
    p = events / size
    z2 = Z95**2 / size
    middle = (p + z2 / 2) / (1 + z2)
    reach = Z95 * np.sqrt(p * (1 - p) / size + z2 / (4 * size)) / (1 + z2)
    low = np.where((events == 0) & (n > 0), 0.0, middle - reach)
    high = np.where((events == n) & (n > 0), 1.0, middle + reach)
    return low, high


def newcombe(
    events_a: npt.ArrayLike,
    n_a: npt.ArrayLike,
    events_b: npt.ArrayLike,
    n_b: npt.ArrayLike,
) -> tuple[Floats, Floats, Floats]:
    """Difference A - B of two independent proportions and its 95% limits.

    Newcombe's hybrid score interval: each arm's Wilson limits, squared and added.
    NaN where either n is 0.
    Source: Newcombe RG (1998) Stat Med 17:873, method 10.

    >>> difference, low, high = newcombe([56], [70], [48], [80])
    >>> [float(x[0].round(4)) for x in (difference, low, high)]
    [0.2, 0.0524, 0.3339]
    """
    p_a, below_a, above_a = _arms(events_a, n_a)
    p_b, below_b, above_b = _arms(events_b, n_b)
    difference = p_a - p_b
    low = difference - np.hypot(below_a, above_b)
    high = difference + np.hypot(above_a, below_b)
    return difference, np.maximum(low, -1.0), np.minimum(high, 1.0)


def newcombe_paired(
    both: npt.ArrayLike,
    only_first: npt.ArrayLike,
    only_second: npt.ArrayLike,
    neither: npt.ArrayLike,
) -> tuple[Floats, Floats, Floats]:
    """Difference first - second of two paired proportions and its 95% limits.

    Newcombe's hybrid score interval for paired data, with the correlation phi of the
    fourfold table, lowered by half of n where it is positive. NaN where n is 0.
    Source: Newcombe RG (1998) Stat Med 17:2635, method 10.

    >>> difference, low, high = newcombe_paired([14], [5], [0], [22])
    >>> [float(x[0].round(3)) for x in (difference, low, high)]
    [0.122, 0.011, 0.226]
    """
    both, only_first, only_second, neither = _counts(
        both, only_first, only_second, neither
    )
    n = both + only_first + only_second + neither
    p_first, below_first, above_first = _arms(both + only_first, n)
    p_second, below_second, above_second = _arms(both + only_second, n)
    margins = (both + only_first).astype(np.float64) * (only_second + neither)
    margins *= (both + only_second).astype(np.float64) * (only_first + neither)
    cross = both.astype(np.float64) * neither - only_first * only_second
    corrected = np.where(cross > 0, np.maximum(cross - n / 2, 0.0), cross)
    phi = np.where(margins > 0, corrected / np.sqrt(np.maximum(margins, 1.0)), 0.0)
    difference = p_first - p_second
    low = difference - _reach(below_first, above_second, phi)
    high = difference + _reach(above_first, below_second, phi)
    return difference, np.maximum(low, -1.0), np.minimum(high, 1.0)


def fisher_exact(
    events_a: npt.ArrayLike,
    n_a: npt.ArrayLike,
    events_b: npt.ArrayLike,
    n_b: npt.ArrayLike,
) -> Floats:
    """Fisher's exact test, two-sided: p of every table with the same margins.

    The sum over all tables no more probable than the one seen (relative tolerance
    1e-7); NaN where either n is 0.
    Source: Fisher RA (1935) The Design of Experiments, chapter 2.

    >>> float(fisher_exact([3], [4], [1], [4])[0].round(4))
    0.4857
    """
    events_a, n_a, events_b, n_b = _counts(events_a, n_a, events_b, n_b)
    events = events_a + events_b
    lowest = np.maximum(events - n_b, 0)
    owner, step = _runs(np.minimum(events, n_a) - lowest + 1)
    x = lowest[owner] + step
    log = _log_factorials(int((n_a + n_b).max(initial=0)))
    weight = -(
        log[x]
        + log[n_a[owner] - x]
        + log[events[owner] - x]
        + log[n_b[owner] - events[owner] + x]
    )
    p = _share_of_the_unlikely(
        weight, owner, weight[_starts(owner) + events_a - lowest]
    )
    return np.where((n_a > 0) & (n_b > 0), p, np.nan)


def mcnemar_exact(only_first: npt.ArrayLike, only_second: npt.ArrayLike) -> Floats:
    """McNemar's exact test, two-sided, from the two discordant counts b and c.

    min(1, 2 P(X <= min(b, c))) with X ~ Bin(b + c, 1/2); 1 where b + c is 0.
    Source: McNemar Q (1947) Psychometrika 12:153; Fagerland MW and others (2013) BMC Med
    Res Methodol 13:91, the exact conditional test.

    >>> float(mcnemar_exact([1], [7])[0].round(7))
    0.0703125
    """
    only_first, only_second = _counts(only_first, only_second)
    n = only_first + only_second
    owner, x = _runs(np.minimum(only_first, only_second) + 1)
    log = _log_factorials(int(n.max(initial=0)))
    terms = np.exp(log[n[owner]] - log[x] - log[n[owner] - x] - n[owner] * np.log(2))
    return np.minimum(1.0, 2 * np.bincount(owner, terms, minlength=n.size))


def benjamini_hochberg(p: npt.ArrayLike) -> Floats:
    """Adjusted p (q) that bound the false discovery rate; NaN are left out of m.

    q of the i-th smallest p is the least m p / j over j >= i, at most 1.
    Source: Benjamini Y, Hochberg Y (1995) J R Stat Soc B 57:289.

    >>> benjamini_hochberg([0.01, 0.04, float("nan"), 0.03]).tolist()
    [0.03, 0.04, nan, 0.04]
    """
    p = np.asarray(p, dtype=np.float64)
    q = np.full(p.shape, np.nan)
    tested = np.flatnonzero(~np.isnan(p))
    falling = tested[np.argsort(-p[tested], kind="stable")]
    rank = np.arange(falling.size, 0, -1)
    q[falling] = np.minimum(
        1.0, np.minimum.accumulate(p[falling] * falling.size / rank)
    )
    return q


def _counts(*values: npt.ArrayLike) -> tuple[Counts, ...]:
    arrays = tuple(np.atleast_1d(np.asarray(value, dtype=np.int64)) for value in values)
    return tuple(np.broadcast_arrays(*arrays))


def _arms(events: npt.ArrayLike, n: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Proportion, and how far Wilson's limits lie below and above it."""
    events, n = _counts(events, n)
    low, high = wilson(events, n)
    p = events / np.where(n > 0, n, np.nan)
    return p, p - low, high - p


def _reach(one: Floats, other: Floats, phi: Floats) -> Floats:
    # rounding can push the square a hair below 0 where phi is 1
    square = one**2 - 2 * phi * one * other + other**2
    return np.sqrt(np.maximum(square, 0.0))


def _log_factorials(n: int) -> Floats:
    return np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, n + 1)))])


def _runs(lengths: Counts) -> tuple[Counts, Counts]:
    """For runs of these lengths laid end to end: whose run, and which step in it."""
    owner = np.repeat(np.arange(lengths.size), lengths)
    return owner, np.arange(owner.size) - _starts(owner)[owner]


def _starts(owner: Counts) -> Counts:
    # every run has at least one step, so each owner is there
    return np.flatnonzero(np.diff(owner, prepend=-1))


def _share_of_the_unlikely(weight: Floats, owner: Counts, seen: Floats) -> Floats:
    """Share of each run's exp(weight) that lies no higher than the one seen."""
    top = np.maximum.reduceat(weight, _starts(owner)) if owner.size else seen
    mass = np.exp(weight - top[owner])
    unlikely = mass <= np.exp(seen - top)[owner] * NO_MORE_PROBABLE
    runs = seen.size
    part = np.bincount(owner, np.where(unlikely, mass, 0.0), minlength=runs)
    return np.minimum(1.0, part / np.bincount(owner, mass, minlength=runs))
