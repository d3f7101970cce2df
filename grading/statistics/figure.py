"""One number as a page may show it, or the words for why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True)
class Figure:
    """A value with its 95% limits, the n behind it and the name of its method.

    `value` None means undefined and needs a `reason`. Limits may be None beside a
    value; the reason then says why there are no limits. NaN and infinity are refused,
    so that neither ever reaches a page.

    >>> Figure(0.25, low=0.1, high=0.5, n=12, method="Wilson score interval").value
    0.25
    >>> Figure(None, reason="all ratings are equal").reason
    'all ratings are equal'
    """

    value: float | None
    low: float | None = None
    high: float | None = None
    n: int = 0
    method: str = ""
    reason: str | None = None

    def __post_init__(self) -> None:
        for number in (self.value, self.low, self.high):
            if number is not None and not isfinite(number):
                raise ValueError(f"a figure must be finite or None, but got {number!r}")
        if self.value is None and not self.reason:
            raise ValueError("a figure without a value needs a reason in words")
