"""Rates with their intervals on one shared axis: a row each, dot over square."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

WIDTH = 420
MARGIN = 16  # half of the widest tick word (100%), so that none is cut off
AXIS_HEIGHT = 16
ROW_HEIGHT = 34
STEPS = (0.02, 0.05, 0.1, 0.2)  # of the ticks: the finest that leaves 8 or fewer spaces


@dataclass(frozen=True)
class Rate:
    """A rate and its limits, each 0 to 1."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Tick:
    x: float
    text: str


@dataclass(frozen=True)
class Placed:
    """Where a rate's dot or square and the ends of its line lie."""

    x: float
    low: float
    high: float


@dataclass(frozen=True)
class Intervals:
    """The axis (ticks with words, no rates) or one row of rates under it.

    `this` is drawn as dot and line, `other` below it as square and thin line.
    """

    width: int
    height: int
    ticks: tuple[Tick, ...]
    title: str
    this: Placed | None = None
    other: Placed | None = None


@dataclass(frozen=True)
class Scale:
    """0 to `end` laid over the width of the picture."""

    end: float
    step: float

    def x(self, rate: float) -> float:
        """Where a rate lies; ValueError where it is beyond the axis."""
        if not 0 <= rate <= self.end:
            raise ValueError(f"a rate must be 0 to {self.end} here, but got {rate}")
        return round(MARGIN + rate / self.end * (WIDTH - 2 * MARGIN), 1)

    def ticks(self) -> list[float]:
        return [round(i * self.step, 2) for i in range(round(self.end / self.step) + 1)]


def scale(highest: float) -> Scale:
    """The axis for rates up to `highest`: it ends at the next tick, at most at 1.

    >>> scale(0.58)
    Scale(end=0.6, step=0.1)
    """
    step = next((s for s in STEPS if highest <= 8 * s), STEPS[-1])
    # 0.3 / 0.1 is a hair above 3: without the rounding the axis would gain a tick
    ticks = max(1, ceil(round(highest / step, 9)))
    return Scale(end=min(1.0, round(ticks * step, 2)), step=step)


def axis(scale: Scale) -> Intervals:
    """The words over the column of rows: 0%, 10%, and so on."""
    ticks = tuple(Tick(scale.x(rate), f"{rate:.0%}") for rate in scale.ticks())
    return Intervals(WIDTH, AXIS_HEIGHT, ticks, f"Scale from 0% to {scale.end:.0%}")


def row(scale: Scale, label: str, this: Rate | None, other: Rate | None) -> Intervals:
    """One element's rate and, where there is one, the rate it is compared with.

    >>> drawn = row(scale(0.7), "Apex, bell", Rate(0.36, 0.24, 0.51), None)
    >>> drawn.this, drawn.title
    (Placed(x=215.5, low=149.0, high=298.7), 'Apex, bell: 36%, interval 24% to 51%')
    """
    ticks = tuple(Tick(scale.x(rate), "") for rate in scale.ticks())
    words = _words(this) if this else "no rate"
    if other:
        words += f"; compared with {_words(other)}"
    return Intervals(
        WIDTH,
        ROW_HEIGHT,
        ticks,
        f"{label}: {words}",
        _placed(scale, this) if this else None,
        _placed(scale, other) if other else None,
    )


def _placed(scale: Scale, rate: Rate) -> Placed:
    return Placed(scale.x(rate.value), scale.x(rate.low), scale.x(rate.high))


def _words(rate: Rate) -> str:
    return f"{rate.value:.0%}, interval {rate.low:.0%} to {rate.high:.0%}"
