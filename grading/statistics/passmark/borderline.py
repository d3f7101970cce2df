"""Borderline group and borderline regression: the marker's global rating as standard."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics import resample
from grading.statistics.figure import Figure
from grading.statistics.passmark.rate import pass_rate
from grading.statistics.proportions import Floats

GROUP = "borderline group, median"
REGRESSION = "borderline regression"
RESAMPLED = "SD over 2,000 resamples of the students"


@dataclass(frozen=True)
class BorderlineGroup:
    """Pass mark in percent: the median of the borderline group, with its mean."""

    pass_mark: Figure
    mean: Figure
    n_borderline: Figure
    pass_rate: Figure


@dataclass(frozen=True)
class BorderlineRegression:
    """Pass mark in percent read off the line of percent on rating."""

    pass_mark: Figure
    standard_error: Figure
    pass_rate: Figure
    slope: Figure
    intercept: Figure
    r_squared: Figure


def borderline_group(
    percents: Floats, is_borderline: npt.NDArray[np.bool_]
) -> BorderlineGroup:
    """Median and mean percent of the students rated borderline.

    Source: Livingston SA, Zieky MJ (1982) Passing Scores, 35-40.

    >>> group = np.array([True, True, False])
    >>> borderline_group(np.array([53.0, 58, 80]), group).pass_mark.value
    55.5
    """
    own = percents[is_borderline]
    n = len(own)
    if not n:
        reason = "no student received the borderline rating"
        mark = Figure(None, method=GROUP, reason=reason)
        mean = Figure(None, method="mean of the borderline group", reason=reason)
    else:
        mark = Figure(float(np.median(own)), n=n, method=GROUP)
        mean = Figure(float(own.mean()), n=n, method="mean of the borderline group")
    return BorderlineGroup(
        pass_mark=mark,
        mean=mean,
        n_borderline=Figure(n, n=len(percents), method="students rated borderline"),
        pass_rate=pass_rate(percents, mark),
    )


def borderline_regression(
    percents: Floats, ratings: Floats, borderline: float
) -> BorderlineRegression:
    """Least squares of percent on rating, read off at the borderline rating.

    The standard error is the SD of the pass mark over 2,000 resamples of students;
    resamples with one rating value are left out.
    Source: Wood TJ, Humphrey-Murto SM, Norman GR (2006) Adv Health Sci Educ 11:115.

    >>> fit = borderline_regression(np.array([50.0, 60, 70]), np.array([1.0, 2, 3]), 2)
    >>> round(fit.pass_mark.value, 6), round(fit.slope.value, 6)
    (60.0, 10.0)
    """
    n = len(percents)

    def none(reason: str, method: str = REGRESSION) -> Figure:
        return Figure(None, n=n, method=method, reason=reason)

    if not n or ratings.min() == ratings.max():
        mark = none("all ratings are equal" if n else "there is no student")
        rate = pass_rate(percents, mark)
        return BorderlineRegression(mark, mark, rate, mark, mark, mark)
    slope, intercept = (float(x[0]) for x in _lines(percents[None], ratings[None]))
    mark = Figure(intercept + slope * borderline, n=n, method=REGRESSION)
    centred = percents - percents.mean()
    residual = percents - intercept - slope * ratings
    return BorderlineRegression(
        pass_mark=mark,
        standard_error=_standard_error(percents, ratings, borderline),
        pass_rate=pass_rate(percents, mark),
        slope=Figure(slope, n=n, method=REGRESSION),
        intercept=Figure(intercept, n=n, method=REGRESSION),
        r_squared=none("all percents are equal", "share of variance explained")
        if percents.min() == percents.max()
        else Figure(
            max(0.0, 1 - float(residual @ residual) / float(centred @ centred)),
            n=n,
            method="share of variance explained",
        ),
    )


def _standard_error(percents: Floats, ratings: Floats, borderline: float) -> Figure:
    marks = []
    for part in resample.draws(len(percents)):
        x, y = ratings[part], percents[part]
        spread = x.min(axis=1) < x.max(axis=1)
        slopes, intercepts = _lines(y[spread], x[spread])
        marks.append(intercepts + slopes * borderline)
    drawn = np.concatenate(marks)
    value = float(drawn.std(ddof=1))
    return Figure(value, n=len(percents), method=RESAMPLED)


def _lines(y: Floats, x: Floats) -> tuple[Floats, Floats]:
    """Slopes and intercepts of least squares, a line a row."""
    x_mean, y_mean = x.mean(axis=1), y.mean(axis=1)
    x_centred = x - x_mean[:, None]
    products = (x_centred * (y - y_mean[:, None])).sum(axis=1)
    slopes = products / (x_centred**2).sum(axis=1)
    return slopes, y_mean - slopes * x_mean
