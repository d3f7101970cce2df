"""Which rater gives higher ratings, when not everybody rated everything."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics.figure import Figure
from grading.statistics.proportions import Counts, Floats

METHOD = "least squares of rating on subject and rater, effects summing to 0"
TINY = 1e-12  # a residual sum of squares this much smaller than the total is rounding


@dataclass(frozen=True)
class RaterSeverity:
    """One rater. A positive `effect` gives higher ratings than the others."""

    rater: str
    n: int
    mean: float
    effect: Figure
    standard_error: Figure


@dataclass(frozen=True)
class Severity:
    """`adjusted_means` is what the average rater would give each subject."""

    raters: tuple[RaterSeverity, ...]
    subjects: tuple[str, ...]
    adjusted_means: tuple[Figure, ...]
    residual_variance: Figure
    residual_df: Figure


def severity(
    ratings: Floats, subjects: Sequence[str], raters: Sequence[str]
) -> Severity:
    """Fit a subjects x raters array of numbers, NaN where a rater did not rate.

    rating = subject + rater effect, the effects summing to 0 unweighted. Standard
    errors are those of the coefficients, undefined without residual degrees of freedom.
    Where raters and subjects fall into islands that nothing joins, effects and adjusted
    means are undefined and the islands are named. Every subject and every rater needs a
    rating.
    Source: two-way additive model without replication, Montgomery DC, Design and
    Analysis of Experiments, chapter 4 (incomplete blocks).

    >>> fit = severity(np.array([[70.0, 76.0], [62.0, np.nan]]), ["a", "b"], ["P", "Q"])
    >>> [round(rater.effect.value, 6) for rater in fit.raters]
    [-3.0, 3.0]
    """
    seen = ~np.isnan(ratings)
    reason = _no_effects(seen, raters)
    if reason:
        return _undefined(ratings, subjects, raters, reason)
    filled = np.where(seen, ratings, 0.0)
    of_subject, of_rater = seen.sum(axis=1), seen.sum(axis=0)
    shared = seen / of_subject[:, None]
    means = filled.sum(axis=1) / of_subject
    # the normal equations with the subjects taken out: one row and column a rater
    information = np.diag(of_rater) - seen.T @ shared
    inverse = np.linalg.pinv(information.astype(np.float64), hermitian=True)
    effects = inverse @ (filled.sum(axis=0) - seen.T @ means)
    adjusted = means - shared @ effects
    residual = np.where(seen, ratings - adjusted[:, None] - effects, 0.0)
    n = int(seen.sum())
    df = n - len(subjects) - len(raters) + 1
    spread = np.where(seen, ratings - filled.sum() / n, 0.0)
    squares = float((residual**2).sum())
    if squares <= TINY * float((spread**2).sum()):
        squares = 0.0
    variance = squares / df if df else None
    return Severity(
        raters=tuple(
            RaterSeverity(
                rater=name,
                n=int(of_rater[j]),
                mean=float(filled[:, j].sum() / of_rater[j]),
                effect=Figure(float(effects[j]), n=int(of_rater[j]), method=METHOD),
                standard_error=_or_no_df(
                    None
                    if variance is None
                    else float(np.sqrt(variance * inverse[j, j])),
                    int(of_rater[j]),
                ),
            )
            for j, name in enumerate(raters)
        ),
        subjects=tuple(subjects),
        adjusted_means=tuple(
            Figure(float(mean), n=int(count), method=METHOD)
            for mean, count in zip(adjusted, of_subject, strict=True)
        ),
        residual_variance=_or_no_df(variance, n),
        residual_df=Figure(df, n=n, method=METHOD),
    )


def islands(seen: npt.NDArray[np.bool_]) -> Counts:
    """Number each rater's island: raters joined by subjects they both rated.

    >>> islands(np.array([[True, True, False], [False, False, True]])).tolist()
    [0, 0, 2]
    """
    raters = seen.shape[1]
    joined = (seen.T.astype(np.int64) @ seen > 0) | np.eye(raters, dtype=np.bool_)
    # squaring doubles the length of the paths: log2 of the raters is enough
    for _ in range(max(1, raters).bit_length()):
        joined = joined.astype(np.int64) @ joined > 0
    return np.asarray(joined.argmax(axis=1), dtype=np.int64)


def _no_effects(seen: npt.NDArray[np.bool_], raters: Sequence[str]) -> str | None:
    if len(raters) < 2:
        return (
            f"it needs two raters or more, but there is {'one' if raters else 'none'}"
        )
    numbers = islands(seen)
    if (numbers == numbers[0]).all():
        return None
    groups = [
        ", ".join(
            name for name, own in zip(raters, numbers, strict=True) if own == island
        )
        for island in dict.fromkeys(numbers.tolist())
    ]
    return f"raters that share no subject cannot be compared: {'; '.join(groups)}"


def _undefined(
    ratings: Floats, subjects: Sequence[str], raters: Sequence[str], reason: str
) -> Severity:
    seen = ~np.isnan(ratings)
    return Severity(
        raters=tuple(
            RaterSeverity(
                rater=name,
                n=int(seen[:, j].sum()),
                mean=float(ratings[seen[:, j], j].mean()),
                effect=_none(reason, int(seen[:, j].sum())),
                standard_error=_none(reason, int(seen[:, j].sum())),
            )
            for j, name in enumerate(raters)
        ),
        subjects=tuple(subjects),
        adjusted_means=tuple(_none(reason, int(row.sum())) for row in seen),
        residual_variance=_none(reason, int(seen.sum())),
        residual_df=_none(reason, int(seen.sum())),
    )


def _none(reason: str, n: int) -> Figure:
    return Figure(None, n=n, method=METHOD, reason=reason)


def _or_no_df(value: float | None, n: int) -> Figure:
    if value is None:
        return _none("no residual degrees of freedom: every rating is used up", n)
    return Figure(value, n=n, method=METHOD)
