"""A funnel: each group's rate over its size, between limits that narrow as it grows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.pictures.intervals import Scale, scale

WIDTH = 640
HEIGHT = 300
LEFT, RIGHT, TOP, BOTTOM = 48, 16, 12, 40
STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000)
MOST_TICKS = 8


@dataclass(frozen=True)
class Dot:
    """One group, by the number that its row in the table has."""

    x: float
    y: float
    label: str
    label_x: float
    anchor: str
    is_outside: bool


@dataclass(frozen=True)
class Tick:
    at: float
    text: str


@dataclass(frozen=True)
class Funnel:
    """Curves are polylines: two for 95%, two for 99.8%."""

    width: int
    height: int
    left: int
    right: int
    top: int
    bottom: int
    center: float
    inner: tuple[str, ...]
    outer: tuple[str, ...]
    dots: tuple[Dot, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    title: str


@dataclass(frozen=True)
class Limits:
    """The limits at one size."""

    n: int
    low_95: float
    high_95: float
    low_998: float
    high_998: float


def sizes(largest: int, points: int = 48) -> list[int]:
    """Sizes to draw the limits at, from 1 to a little past the largest group.

    >>> sizes(20)[0], sizes(20)[-1]
    (1, 22)
    """
    end = largest + max(1, largest // 10)
    step = max(1, end // points)
    return sorted({1, *range(1, end, step), end})


def funnel(
    groups: Sequence[tuple[int, float, bool]],
    center: float,
    limits: Sequence[Limits],
) -> Funnel:
    """Draw groups as (n, rate, is it outside), numbered from 1 in their order.

    Raises ValueError without groups or without limits.
    """
    if not groups or not limits:
        raise ValueError("a funnel needs groups and limits")
    end = max(max(n for n, _, _ in groups), limits[-1].n)
    rates = scale(
        min(1.0, max([rate for _, rate, _ in groups] + [_height(limits, groups)]))
    )
    outside = sum(beyond for _, _, beyond in groups)

    def curve(name: str) -> str:
        return " ".join(
            f"{_x(limit.n, end)},{_y(min(getattr(limit, name), rates.end), rates)}"
            for limit in limits
        )

    return Funnel(
        WIDTH,
        HEIGHT,
        LEFT,
        WIDTH - RIGHT,
        TOP,
        HEIGHT - BOTTOM,
        center=_y(center, rates),
        inner=(curve("low_95"), curve("high_95")),
        outer=(curve("low_998"), curve("high_998")),
        dots=tuple(
            _dot(i, n, rate, beyond, end, rates)
            for i, (n, rate, beyond) in enumerate(groups, 1)
        ),
        across=tuple(Tick(_x(n, end), str(n)) for n in _ticks(end)),
        up=tuple(Tick(_y(rate, rates), f"{rate:.0%}") for rate in rates.ticks()),
        title=f"Funnel of {len(groups)} groups round {center:.0%}: {outside} outside "
        "the 95% limits",
    )


def _height(
    limits: Sequence[Limits], groups: Sequence[tuple[int, float, bool]]
) -> float:
    """The outer limit at the smallest group: what is above it is of no size shown."""
    smallest = min(n for n, _, _ in groups)
    return max(limit.high_998 for limit in limits if limit.n >= smallest)


def _dot(number: int, n: int, rate: float, beyond: bool, end: int, rates: Scale) -> Dot:
    x = _x(n, end)
    late = x > WIDTH - RIGHT - 24
    return Dot(
        x,
        _y(rate, rates),
        str(number),
        label_x=x - 9 if late else x + 9,
        anchor="end" if late else "start",
        is_outside=beyond,
    )


def _ticks(end: int) -> range:
    step = next((s for s in STEPS if end <= MOST_TICKS * s), STEPS[-1])
    return range(0, end + 1, step)


def _x(n: int, end: int) -> float:
    return round(LEFT + n / end * (WIDTH - LEFT - RIGHT), 1)


def _y(rate: float, rates: Scale) -> float:
    return round(HEIGHT - BOTTOM - rate / rates.end * (HEIGHT - TOP - BOTTOM), 1)
