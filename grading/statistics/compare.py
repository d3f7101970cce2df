"""Two cohorts, or two looks at the same students: differences of omission rates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics import proportions
from grading.statistics.figure import Figure
from grading.statistics.omissions import Omissions
from grading.statistics.proportions import Counts, Floats

GROUPS_METHOD = "Newcombe's hybrid score interval; Fisher's exact test, two-sided"
PAIRED_METHOD = "Newcombe's hybrid score interval for pairs; McNemar's exact test"
NEAR_THE_LIMIT = (
    "Near 0.05 the p value and the interval may disagree: they are different methods."
)


@dataclass(frozen=True)
class GroupComparison:
    """Two independent groups, an entry an element; NaN where one side has no mark.

    `difference` is rate A - rate B; `q` is p corrected for all elements compared.
    """

    judged_a: Counts
    omitted_a: Counts
    rate_a: Floats
    judged_b: Counts
    omitted_b: Counts
    rate_b: Floats
    difference: Floats
    low: Floats
    high: Floats
    p: Floats
    q: Floats

    def figure(self, i: int) -> Figure:
        """The difference A - B of element i; n is the judged marks of both sides."""
        n = int(self.judged_a[i] + self.judged_b[i])
        if np.isnan(self.difference[i]):
            return Figure(None, n=n, method=GROUPS_METHOD, reason=self.reason(i))
        limits = float(self.low[i]), float(self.high[i])
        return Figure(float(self.difference[i]), *limits, n, GROUPS_METHOD)

    def reason(self, i: int) -> str | None:
        """Why element i has no difference, or None where it has one."""
        missing = [
            name
            for name, judged in (("A", self.judged_a), ("B", self.judged_b))
            if judged[i] == 0
        ]
        if not missing:
            return None
        return f"no mark of it was judged in {' and '.join(missing)}"


@dataclass(frozen=True)
class PairedComparison:
    """The same students seen twice, an entry an element; NaN where there is no pair.

    `both` to `neither` count pairs by where the element was left out; `difference` is
    first - second.
    """

    pairs: Counts
    both: Counts
    only_first: Counts
    only_second: Counts
    neither: Counts
    difference: Floats
    low: Floats
    high: Floats
    p: Floats
    q: Floats

    def figure(self, i: int) -> Figure:
        """The difference first - second of element i; n is the number of pairs."""
        n = int(self.pairs[i])
        if n == 0:
            return Figure(None, method=PAIRED_METHOD, reason=self.reason(i))
        limits = float(self.low[i]), float(self.high[i])
        return Figure(float(self.difference[i]), *limits, n, PAIRED_METHOD)

    def reason(self, i: int) -> str | None:
        """Why element i has no difference, or None where it has one."""
        return None if self.pairs[i] else "no student has a judged mark on both sides"


def compare_groups(a: Omissions, b: Omissions) -> GroupComparison:
    """Compare two cohorts over the same elements in the same order.

    Newcombe's hybrid score interval (Stat Med 1998, 17, 873, method 10), Fisher's exact
    test and Benjamini-Hochberg's q over the elements judged on both sides.
    Raises ValueError where the two do not have the same number of elements.
    """
    if a.judged.shape != b.judged.shape:
        raise ValueError("two cohorts are compared over the same elements")
    sides = (a.omitted, a.judged, b.omitted, b.judged)
    difference, low, high = proportions.newcombe(*sides)
    p = proportions.fisher_exact(*sides)
    return GroupComparison(
        judged_a=a.judged,
        omitted_a=a.omitted,
        rate_a=a.rate,
        judged_b=b.judged,
        omitted_b=b.omitted,
        rate_b=b.rate,
        difference=difference,
        low=low,
        high=high,
        p=p,
        q=proportions.benjamini_hochberg(p),
    )


def compare_pairs(
    first: npt.NDArray[np.float64], second: npt.NDArray[np.float64]
) -> PairedComparison:
    """Compare two looks at the same students, as students x elements arrays.

    1 is left out, 0 is not, NaN is not judged; row i is the same student in both.
    A pair counts where both are judged. See `left_out` for the arrays.
    Raises ValueError where the shapes differ.

    >>> first, second = np.array([[1.0], [1.0], [0.0]]), np.array([[0.0], [1.0], [0.0]])
    >>> found = compare_pairs(first, second)
    >>> int(found.pairs[0]), int(found.only_first[0]), float(found.p[0])
    (3, 1, 1.0)
    """
    if first.shape != second.shape:
        raise ValueError("pairs need two arrays of the same students and elements")
    seen = ~(np.isnan(first) | np.isnan(second))
    both = _count(seen & (first == 1) & (second == 1))
    only_first = _count(seen & (first == 1) & (second == 0))
    only_second = _count(seen & (first == 0) & (second == 1))
    return from_pair_counts(
        both, only_first, only_second, _count(seen & (first == 0) & (second == 0))
    )


def from_pair_counts(
    both: Counts, only_first: Counts, only_second: Counts, neither: Counts
) -> PairedComparison:
    """Compare from the four counts of pairs, an entry an element.

    Newcombe's hybrid score interval (Stat Med 1998, 17, 2635, method 10), McNemar's
    exact test and Benjamini-Hochberg's q over the elements that have pairs.
    """
    difference, low, high = proportions.newcombe_paired(
        both, only_first, only_second, neither
    )
    pairs = both + only_first + only_second + neither
    p = np.where(pairs > 0, proportions.mcnemar_exact(only_first, only_second), np.nan)
    return PairedComparison(
        pairs=pairs,
        both=both,
        only_first=only_first,
        only_second=only_second,
        neither=neither,
        difference=difference,
        low=low,
        high=high,
        p=p,
        q=proportions.benjamini_hochberg(p),
    )


def _count(pairs: npt.NDArray[np.bool_]) -> Counts:
    return np.asarray(pairs.sum(axis=0), dtype=np.int64)
