"""Item analysis: difficulty, discrimination, and how far elements hang together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grading.statistics import reliability
from grading.statistics.figure import Figure
from grading.statistics.proportions import Floats

MOST_UNSEEN = 0.1  # an element unseen on a larger share of the sheets is set aside
FEWEST_SHEETS = 10  # that any two elements must have in common
TINY = 1e-12  # a variance this small against the points is rounding
DISCRIMINATION = "mean credit of the upper 27% less that of the lower 27%"
GROUPS = "27% of the students"
NOBODY = "no student was seen on an element with points"
SET_ASIDE = "set aside: not seen on more than 10% of sheets"


@dataclass(frozen=True)
class Item:
    """One element; `n` is the number of sheets on which it was seen and used."""

    n: int
    difficulty: Figure
    item_rest_correlation: Figure
    discrimination: Figure
    alpha_if_left_out: Figure


@dataclass(frozen=True)
class Items:
    """`set_aside` are positions of elements. `sheets` were used; `complete_only` says
    that those with an unseen element were left out. `smallest_pair` is the least number
    of sheets that two elements have in common.
    """

    items: tuple[Item, ...]
    cronbach_alpha: Figure
    kr20: Figure
    standard_error_of_measurement: Figure
    spearman_brown_half: Figure
    spearman_brown_double: Figure
    group_size_27: Figure
    set_aside: tuple[int, ...]
    sheets: int
    complete_only: bool
    smallest_pair: int


def items(credits_: Floats, points: Floats, complete: bool = False) -> Items:
    """Analyse a students x elements array of credits (0 to 1, NaN for unseen).

    `points` holds an entry an element. Difficulty is the mean credit; the item-rest
    correlation is Pearson's, of the element's credit with the other elements' points;
    discrimination is the mean credit of the upper less the lower 27% of students;
    alpha, its interval (Feldt), KR-20 and the error of measurement use points x credit.
    Elements unseen on more than 10% of sheets are set aside; covariances then come from
    the sheets that have both elements, or, with `complete` or where a pair has fewer
    than 10, from complete sheets alone.
    Sources: Cronbach LJ (1951) Psychometrika 16:297; Kuder GF, Richardson MW (1937)
    Psychometrika 2:151; Kelley TL (1939) J Educ Psychol 30:17 (27%).

    >>> found = items(np.array([[1.0, 1], [1, 0], [0, 0]]), np.array([1.0, 1]))
    >>> round(found.cronbach_alpha.value, 4), found.items[1].difficulty.n
    (0.6667, 3)
    """
    unseen = np.isnan(credits_).mean(axis=0) if len(credits_) else np.zeros(len(points))
    kept = unseen <= MOST_UNSEEN
    used, weights = credits_[:, kept], points[kept]
    pairs = _pairs(used)
    complete_only = bool(
        np.isnan(used).any() and (complete or pairs.min() < FEWEST_SHEETS)
    )
    if complete_only:
        used = used[~np.isnan(used).any(axis=1)]
        pairs = _pairs(used)
    smallest = int(pairs.min()) if pairs.size else 0
    covariances = _covariances(used, pairs)
    scores = reliability.Scores(covariances * np.outer(weights, weights), smallest)
    discriminations, size = _discriminations(used, weights)
    analysed = iter(
        [
            Item(
                n=int((~np.isnan(used[:, j])).sum()),
                difficulty=_difficulty(used[:, j]),
                item_rest_correlation=_item_rest(j, used, covariances, weights, pairs),
                discrimination=discriminations[j],
                alpha_if_left_out=scores.alpha_if_left_out(j),
            )
            for j in range(len(weights))
        ]
    )
    binary = bool(np.isin(used[~np.isnan(used)], (0, 1)).all())
    return Items(
        items=tuple(
            next(analysed) if keep else _aside(credits_[:, j])
            for j, keep in enumerate(kept)
        ),
        cronbach_alpha=scores.alpha(),
        kr20=scores.kr20(binary, equal_points=len(set(weights.tolist())) <= 1),
        standard_error_of_measurement=scores.error_of_measurement(),
        spearman_brown_half=scores.stepped(0.5),
        spearman_brown_double=scores.stepped(2),
        group_size_27=size,
        set_aside=tuple(int(j) for j in np.flatnonzero(~kept)),
        sheets=len(used),
        complete_only=complete_only,
        smallest_pair=smallest,
    )


def _pairs(credits_: Floats) -> Floats:
    seen = (~np.isnan(credits_)).astype(np.float64)
    return np.asarray(seen.T @ seen, dtype=np.float64)


def _covariances(credits_: Floats, pairs: Floats) -> Floats:
    """Of every pair of elements, over the sheets that have both; NaN under 2 sheets."""
    seen = ~np.isnan(credits_)
    n = np.maximum(seen.sum(axis=0), 1)
    # taken from the mean first: what remains of an element without spread is exactly 0
    mean = np.where(seen, credits_, 0).sum(axis=0) / n
    centred = np.where(seen, credits_ - mean, 0.0)
    sums = centred.T @ seen
    products = centred.T @ centred - sums * sums.T / np.maximum(pairs, 1)
    covariances: Floats = products / np.where(pairs > 1, pairs - 1, np.nan)
    return covariances


def _difficulty(credit: Floats) -> Figure:
    seen = credit[~np.isnan(credit)]
    if not seen.size:
        return Figure(None, method="mean credit", reason="it was seen on no sheet used")
    return Figure(float(seen.mean()), n=seen.size, method="mean credit")


def _item_rest(
    j: int, credits_: Floats, covariances: Floats, points: Floats, pairs: Floats
) -> Figure:
    method = "Pearson's correlation with the other elements' points"
    n = int(pairs[j].min())

    def none(reason: str) -> Figure:
        return Figure(None, n=n, method=method, reason=reason)

    seen = credits_[~np.isnan(credits_[:, j]), j]
    if len(points) < 2:
        return none("there is no other element")
    if n < 2 or np.isnan(covariances).any():
        return none(reliability.TOO_FEW)
    if seen.min() == seen.max():
        return none("every student has the same credit")
    others = np.where(np.arange(len(points)) == j, 0.0, points)
    rest = others @ covariances @ others
    if rest <= TINY * (points**2).sum():
        return none("every student has the same points in the other elements")
    value = float(covariances[j] @ others / np.sqrt(covariances[j, j] * rest))
    if abs(value) > 1 + 1e-9:
        return none("the sheets of its pairs differ too much to give one correlation")
    return Figure(min(1.0, max(-1.0, value)), n=n, method=method)


def _discriminations(credits_: Floats, points: Floats) -> tuple[list[Figure], Figure]:
    """Discrimination of every element, and the size of the groups it comes from."""
    seen = ~np.isnan(credits_)
    ranked = seen @ points > 0
    credits_, seen = credits_[ranked], seen[ranked]
    n = len(credits_)
    size = Figure(max(1, int(0.27 * n + 0.5)), n=n, method=GROUPS)
    if not n:
        size = Figure(None, method=GROUPS, reason=NOBODY)
    if n < 2:
        reason = reliability.TOO_FEW if n else NOBODY
        none = Figure(None, n=n, method=DISCRIMINATION, reason=reason)
        return [none] * len(points), size
    known = np.where(seen, credits_, 0.0)
    # by the share of what was seen: the same order as by points on complete sheets;
    # rounded, for equal sums added in another order are ties
    share = np.round(known @ points / (seen @ points), 9)
    upper = _group_weights(share, int(size.value or 1))
    lower = _group_weights(-share, int(size.value or 1))
    # a group is 27% and an element unseen on at most 10%: each group saw every element
    means = [weights @ known / (weights @ seen) for weights in (upper, lower)]
    figures = [
        Figure(float(value), n=int(count), method=DISCRIMINATION)
        for value, count in zip(means[0] - means[1], seen.sum(axis=0), strict=True)
    ]
    return figures, size


def _group_weights(values: Floats, size: int) -> Floats:
    """Weight of each in the group of the highest; the tied share the places left."""
    cut = np.sort(values)[-size]
    tied = values == cut
    above = values > cut
    weights: Floats = above + tied * (size - above.sum()) / tied.sum()
    return weights


def _aside(credit: Floats) -> Item:
    n = int((~np.isnan(credit)).sum())
    none = Figure(None, n=n, reason=SET_ASIDE)
    return Item(n, _difficulty(credit), none, none, none)
