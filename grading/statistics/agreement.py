"""How far raters agree: percent agreement, kappas, Krippendorff's alpha, Gwet's AC1.

Every coefficient is a function of weights over the subjects: all weights 1 give the
figure itself, the counts of a resample give one draw of its interval.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics import resample
from grading.statistics.figure import Figure
from grading.statistics.proportions import Counts, Floats

FEWEST_SUBJECTS = 10  # under it no interval is given
TINY = 1e-12  # a chance disagreement below it is none
ALL_EQUAL = "all ratings are equal"
NO_PAIR = "no subject has two ratings"
METHODS = {
    "percent_agreement": "mean share of agreeing pairs of ratings",
    "cohens_kappa": "Cohen's kappa",
    "weighted_kappa_linear": "weighted kappa, linear weights",
    "weighted_kappa_quadratic": "weighted kappa, quadratic weights",
    "fleiss_kappa": "Fleiss' kappa",
    "krippendorff_alpha_nominal": "Krippendorff's alpha, nominal",
    "krippendorff_alpha_ordinal": "Krippendorff's alpha, ordinal",
    "krippendorff_alpha_interval": "Krippendorff's alpha, interval",
    "gwet_ac1": "Gwet's AC1",
}
TWO_RATERS = ("cohens_kappa", "weighted_kappa_linear", "weighted_kappa_quadratic")
RESAMPLED = "; limits from 2,000 resamples of the subjects"


@dataclass(frozen=True)
class Agreement:
    """The coefficients of one table of ratings. Percent agreement is 0 to 100."""

    percent_agreement: Figure
    cohens_kappa: Figure
    weighted_kappa_linear: Figure
    weighted_kappa_quadratic: Figure
    fleiss_kappa: Figure
    krippendorff_alpha_nominal: Figure
    krippendorff_alpha_ordinal: Figure
    krippendorff_alpha_interval: Figure
    gwet_ac1: Figure


def agreement(
    ratings: npt.NDArray[np.int64],
    categories: int,
    numbers: Floats | None = None,
    ordered: bool = False,
) -> Agreement:
    """Agreement over a subjects x raters array of category positions, -1 for missing.

    Positions run from 0 to `categories` - 1 in the order that weights and ordinal alpha
    use. `numbers` gives each category its number, for interval alpha; without it the
    positions serve, where `ordered` says that their order means something.

    Cohen J (1960) Educ Psychol Meas 20:37, (1968) Psychol Bull 70:213; Fleiss JL (1971)
    Psychol Bull 76:378; Krippendorff K (2011) Computing Krippendorff's Alpha-Reliability;
    Gwet KL (2008) Br J Math Stat Psychol 61:29. Limits: 2.5th and 97.5th percentile of
    2,000 resamples of the subjects, none under 10 subjects.
    Raises ValueError for a position out of range.

    >>> found = agreement(np.array([[0, 0], [0, 0], [1, 1], [1, 0]]), categories=2)
    >>> found.percent_agreement.value, found.cohens_kappa.value
    (75.0, 0.5)
    """
    if ratings.size and not -1 <= ratings.min() <= ratings.max() < categories:
        raise ValueError(f"a position must be -1 to {categories - 1}")
    ratings = ratings[(ratings >= 0).any(axis=1)]
    design = _Design.of(ratings, categories, numbers, ordered)
    n = int((design.rated >= 2).sum())
    reasons = _reasons(ratings, design, n)
    values = design.coefficients(np.ones((1, len(ratings)))) if n else {}
    limits = _limits(design) if n >= FEWEST_SUBJECTS else {}
    figures = {}
    for name, method in METHODS.items():
        if name not in reasons and not np.isnan(values[name][0]):
            value = float(values[name][0])
            figures[name] = _figure(value, n, method, limits.get(name))
        else:
            reason = reasons.get(name, "by chance alone no ratings would differ")
            figures[name] = Figure(None, n=n, method=method, reason=reason)
    return Agreement(**figures)


@dataclass(frozen=True)
class _Design:
    """What the coefficients need of each subject, worked out once.

    `counts` is subjects x categories, `rated` its row sums; `pairs` is subjects x 2
    where two raters rated everything, else None. `numbers` is None where interval
    alpha has no meaning.
    """

    counts: Floats
    rated: Floats
    pairs: Counts | None
    complete: bool
    numbers: Floats | None
    ordered: bool

    @classmethod
    def of(
        cls,
        ratings: npt.NDArray[np.int64],
        categories: int,
        numbers: Floats | None,
        ordered: bool,
    ) -> _Design:
        subjects, raters = ratings.shape
        row, column = np.nonzero(ratings >= 0)
        slots = row * categories + ratings[row, column]
        tally = np.bincount(slots, minlength=subjects * categories)
        counts = tally.reshape(subjects, categories).astype(np.float64)
        complete = len(row) == ratings.size
        if numbers is None and ordered:
            numbers = np.arange(categories, dtype=np.float64)
        return cls(
            counts=counts,
            rated=counts.sum(axis=1),
            pairs=ratings if complete and raters == 2 else None,
            complete=complete,
            numbers=numbers,
            ordered=ordered or numbers is not None,
        )

    def coefficients(self, weights: Floats) -> dict[str, Floats]:
        """Every coefficient for draws x subjects weights; NaN where it is undefined."""
        paired = self.rated >= 2
        others = np.where(paired, self.rated - 1, 1.0)
        agreeing = ((self.counts**2).sum(axis=1) - self.rated) / (self.rated * others)
        observed = _ratio(weights @ np.where(paired, agreeing, 0.0), weights @ paired)
        found = {"percent_agreement": 100 * observed}
        found |= self._kappas(weights)
        if self.complete:
            shares = _shares(weights @ self.counts)
            found["fleiss_kappa"] = _corrected(observed, (shares**2).sum(axis=1))
        found |= self._alphas(np.where(paired, weights, 0.0), others)
        categories = self.counts.shape[1]
        if categories > 1:
            shares = _shares(weights @ (self.counts / self.rated[:, None]))
            chance = (shares * (1 - shares)).sum(axis=1) / (categories - 1)
            found["gwet_ac1"] = _corrected(observed, chance)
        return found

    def _kappas(self, weights: Floats) -> dict[str, Floats]:
        if self.pairs is None:
            return {}
        first, second = self.pairs.T
        categories = np.arange(self.counts.shape[1])
        p = _shares(weights @ (first[:, None] == categories))
        q = _shares(weights @ (second[:, None] == categories))
        n = weights.sum(axis=1)
        apart = np.abs(first - second)
        below_p, below_q = p.cumsum(axis=1), q.cumsum(axis=1)
        # E|x - y| from the two distribution functions, E(x - y)2 from the moments:
        # no categories x categories table, however many categories there are
        linear = (below_p * (1 - below_q) + below_q * (1 - below_p)).sum(axis=1)
        squares = (p + q) @ categories**2 - 2 * (p @ categories) * (q @ categories)
        return {
            "cohens_kappa": _corrected(weights @ (apart == 0) / n, (p * q).sum(axis=1)),
            "weighted_kappa_linear": 1 - _ratio(weights @ apart / n, linear),
            "weighted_kappa_quadratic": 1 - _ratio(weights @ apart**2 / n, squares),
        }

    def _alphas(self, weights: Floats, others: Floats) -> dict[str, Floats]:
        totals = weights @ self.counts
        n = totals.sum(axis=1)
        apart = (self.rated**2 - (self.counts**2).sum(axis=1)) / others
        chance = (n**2 - (totals**2).sum(axis=1)) / np.maximum(n - 1, 1)
        found = {"krippendorff_alpha_nominal": 1 - _ratio(weights @ apart, chance)}
        if self.numbers is not None:
            numbers = np.broadcast_to(self.numbers, totals.shape)
            found["krippendorff_alpha_interval"] = self._metric(
                weights, others, totals, numbers - self.numbers.mean()
            )
        if self.ordered:
            # the ordinal distance of two categories is that of their middle ranks
            ranks = totals.cumsum(axis=1) - totals / 2
            scale = np.maximum(n, 1)[:, None]
            found["krippendorff_alpha_ordinal"] = self._metric(
                weights, others, totals, ranks / scale
            )
        return found

    def _metric(
        self, weights: Floats, others: Floats, totals: Floats, places: Floats
    ) -> Floats:
        """Alpha for squared distances between places, which are draws x categories."""
        n = totals.sum(axis=1)
        squares = weights @ (self.counts * (self.rated / others)[:, None])
        sums = (weights / others * (places @ self.counts.T) ** 2).sum(axis=1)
        observed = 2 * ((squares * places**2).sum(axis=1) - sums)
        chance = (
            n * (totals * places**2).sum(axis=1) - (totals * places).sum(axis=1) ** 2
        )
        return 1 - _ratio(observed, 2 * chance / np.maximum(n - 1, 1))


def _reasons(ratings: npt.NDArray[np.int64], design: _Design, n: int) -> dict[str, str]:
    """Why which coefficients are undefined; the first reason that holds."""
    if n == 0:
        return dict.fromkeys(METHODS, NO_PAIR)
    corrected = [name for name in METHODS if name != "percent_agreement"]
    if (design.counts.sum(axis=0) > 0).sum() == 1:
        return dict.fromkeys(corrected, ALL_EQUAL)
    reasons: dict[str, str] = {}
    missing = int((ratings < 0).sum())
    incomplete = (
        f"it needs every rater's rating of every subject, but {missing} are missing"
    )
    if ratings.shape[1] != 2:
        words = f"it needs two raters, but there are {ratings.shape[1]}"
        reasons |= dict.fromkeys(TWO_RATERS, words)
    elif missing:
        reasons |= dict.fromkeys(TWO_RATERS, incomplete)
    if missing:
        reasons["fleiss_kappa"] = incomplete
    if not design.ordered:
        words = "the ratings have no order: they are not numbers and no order was given"
        reasons["krippendorff_alpha_ordinal"] = words
        reasons["krippendorff_alpha_interval"] = words
    paired = design.counts[design.rated >= 2].sum(axis=0)
    if (paired > 0).sum() == 1:
        words = "all ratings of subjects rated twice are equal"
        reasons |= {name: words for name in METHODS if "alpha" in name}
    return reasons


def _limits(design: _Design) -> dict[str, tuple[float, float]]:
    parts = [design.coefficients(w) for w in resample.weights(len(design.counts))]
    limits = {}
    for name in parts[0]:
        values = np.concatenate([part[name] for part in parts])
        defined = values[~np.isnan(values)]
        if defined.size:
            low, high = np.percentile(defined, [2.5, 97.5])
            limits[name] = (float(low), float(high))
    return limits


def _figure(
    value: float, n: int, method: str, limits: tuple[float, float] | None
) -> Figure:
    if limits is None:
        reason = f"no interval under {FEWEST_SUBJECTS} subjects with two ratings"
        return Figure(value, n=n, method=method, reason=reason)
    return Figure(value, *limits, n, method + RESAMPLED)


def _shares(totals: Floats) -> Floats:
    shares: Floats = totals / totals.sum(axis=1, keepdims=True)
    return shares


def _corrected(observed: Floats, chance: Floats) -> Floats:
    return 1 - _ratio(1 - observed, 1 - chance)


def _ratio(part: Floats, whole: Floats) -> Floats:
    return part / np.where(whole > TINY, whole, np.nan)
