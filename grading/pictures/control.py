"""A group's rate between its control limits, one row a group: a p-chart laid on its side."""

from __future__ import annotations

from dataclasses import dataclass

from grading.pictures.intervals import ROW_HEIGHT, WIDTH, Scale, Tick


@dataclass(frozen=True)
class Control:
    """Where the rate, its two limits and the rate of all lie."""

    width: int
    height: int
    ticks: tuple[Tick, ...]
    x: float
    low: float
    high: float
    center: float
    is_outside: bool
    title: str


def row(
    scale: Scale, label: str, rate: float, low: float, high: float, center: float
) -> Control:
    """One group's rate with its limits, on the axis that all rows share.

    Outside means strictly beyond a limit. Raises ValueError where something lies beyond
    the axis.

    >>> from grading.pictures.intervals import scale
    >>> drawn = row(scale(0.6), "Autumn", 0.5, 0.05, 0.4, 0.2)
    >>> drawn.is_outside, drawn.title
    (True, 'Autumn: 50%, outside the limits 5% to 40%')
    """
    outside = not low <= rate <= high
    return Control(
        WIDTH,
        ROW_HEIGHT,
        tuple(Tick(scale.x(tick), "") for tick in scale.ticks()),
        x=scale.x(rate),
        low=scale.x(low),
        high=scale.x(high),
        center=scale.x(center),
        is_outside=outside,
        title=f"{label}: {rate:.0%}, {'outside' if outside else 'within'} the limits "
        f"{low:.0%} to {high:.0%}",
    )
