"""Hofstee: where the curve of failing students meets what the judges would accept."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grading.statistics.figure import Figure
from grading.statistics.passmark.rate import pass_rate
from grading.statistics.proportions import Floats

METHOD = "Hofstee"
ROUNDING = 1e-9  # percent


@dataclass(frozen=True)
class Hofstee:
    """Everything in percent. The picture: the line from (min_pass, max_fail) to
    (max_pass, min_fail), and the step curve of students below each score.
    """

    pass_mark: Figure
    fail_rate: Figure
    pass_rate: Figure
    min_pass: Figure
    max_pass: Figure
    min_fail: Figure
    max_fail: Figure
    scores: Floats
    below: Floats


def hofstee(judges: Floats, percents: Floats) -> Hofstee:
    """Pass mark from a judges x 4 array (min_pass, max_pass, min_fail, max_fail).

    The judges are averaged first. F(x) is the percent of students scoring below x, not
    smoothed; the pass mark is the least x from min_pass to max_pass where F reaches the
    line, at a jump the score itself. Undefined where F(min_pass) is above max_fail or F
    stays below the line.
    Source: Hofstee WKB (1983) in Anderson SB, Helmick JS, On Educational Testing, 109.

    >>> scores = np.array([40.0, 52, 55, 58, 70, 75, 80, 85, 90, 95])
    >>> found = hofstee(np.array([[50.0, 60, 0, 40]]), scores)
    >>> found.pass_mark.value, found.fail_rate.value
    (55.0, 20.0)
    """
    n = len(percents)
    scores, counts = np.unique(percents, return_counts=True)
    up_to = counts.cumsum() / max(1, n) * 100
    below = np.concatenate([[0.0], up_to])[:-1] if n else up_to
    named = ("min_pass", "max_pass", "min_fail", "max_fail")
    means = judges.mean(axis=0) if len(judges) else np.full(4, np.nan)
    pass_mark = _pass_mark(means, scores, up_to, n)
    passing = pass_rate(percents, pass_mark)
    return Hofstee(
        pass_mark=pass_mark,
        fail_rate=Figure(
            None if passing.value is None else 100 - passing.value,
            n=n,
            method="percent of students below the pass mark",
            reason=passing.reason,
        ),
        pass_rate=passing,
        **{
            name: Figure(float(mean), n=len(judges), method="mean of the judges")
            if len(judges)
            else Figure(None, method="mean of the judges", reason="there is no judge")
            for name, mean in zip(named, means, strict=True)
        },
        scores=scores,
        below=below,
    )


def _pass_mark(means: Floats, scores: Floats, up_to: Floats, n: int) -> Figure:
    if not n or np.isnan(means).any():
        reason = "there is no judge" if n else "there is no student"
        return Figure(None, n=n, method=METHOD, reason=reason)
    min_pass, max_pass, min_fail, max_fail = (float(mean) for mean in means)
    # one level part of the curve from each start to the next; the first from min_pass
    inside = (scores >= min_pass) & (scores <= max_pass)
    starts = np.concatenate([[min_pass], scores[inside]])
    ends = np.concatenate([scores[inside], [max_pass]])
    first = up_to[scores < min_pass]
    levels = np.concatenate([[first[-1] if first.size else 0.0], up_to[inside]])
    if levels[0] > max_fail + ROUNDING:
        reason = (
            f"{levels[0]:.1f}% of the students are below the lowest pass mark "
            f"({min_pass:g}), more than the {max_fail:g}% that the judges accept"
        )
        return Figure(None, n=n, method=METHOD, reason=reason)
    drop, width = max_fail - min_fail, max_pass - min_pass
    line = max_fail - (starts - min_pass) * (drop / width if width else 0.0)
    if not width:  # the line stands upright
        line = np.full(starts.shape, min_fail)
    reached = np.where(levels >= line - ROUNDING, starts, np.inf)
    if drop and width:
        meets = min_pass + (max_fail - levels) * width / drop
        at = np.maximum(meets, starts)
        reached = np.minimum(reached, np.where(at <= ends + ROUNDING, at, np.inf))
    mark = float(reached.min())
    if mark == np.inf:
        reason = "the curve of failing students stays below what the judges expect"
        return Figure(None, n=n, method=METHOD, reason=reason)
    return Figure(min(mark, max_pass), n=n, method=METHOD)
