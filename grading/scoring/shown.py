"""Figures as shown: rounded for people, never against what was decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from itertools import count
from typing import Literal

SIGNIFICANT_DIGITS = 10


@dataclass(frozen=True, slots=True)
class Limit:
    """What a figure was compared with: at least a pass mark, at most a cap."""

    kind: Literal["at_least", "at_most"]
    value: Fraction

    def same_side(self, exact: Fraction, rounded: Fraction) -> bool:
        """Whether a rounded figure stands on the side where the exact one was decided."""
        if exact == self.value and not ends(self.value):
            return True  # no decimals would ever show them equal
        if self.kind == "at_least":
            return (exact >= self.value) == (rounded >= self.value)
        return (exact <= self.value) == (rounded <= self.value)


def percent_limits(pass_percent: Fraction, cap: Fraction | None) -> tuple[Limit, ...]:
    """What the percent of a sheet is compared with: the pass mark, and a cap in force."""
    pass_mark = Limit("at_least", pass_percent)
    return (pass_mark,) if cap is None else (pass_mark, Limit("at_most", cap))


def shown(percent: Fraction, limits: Sequence[Limit] = ()) -> str:
    """Half-up to one decimal place, or to as many as keep it on its side of each limit.

    >>> shown(Fraction(250, 3))
    '83.3'
    >>> shown(Fraction("74.96"), [Limit("at_least", Fraction(75))])
    '74.96'
    """
    places = 1
    while not _keeps_sides(percent, rounded := _half_up(percent, places), limits):
        places += 1
    return _written(rounded, places)


def number(value: Fraction, limits: Sequence[Limit] = ()) -> str:
    """A decimal string: exact where it ends, else 10 significant digits, or as many
    more as keep it on its side of each limit.

    >>> number(Fraction(9, 2)), number(Fraction(6)), number(Fraction(2, 3))
    ('4.5', '6', '0.6666666667')
    """
    if ends(value):
        return exactly(value)
    digits = SIGNIFICANT_DIGITS
    while not _keeps_sides(value, Fraction(_significant(value, digits)), limits):
        digits += 1
    return format(_significant(value, digits), "f")


def points_shown(points: Fraction) -> str:
    """Points without trailing zeros; to two decimals where shared points do not end.

    >>> points_shown(Fraction(3)), points_shown(Fraction(5, 2)), points_shown(Fraction(8, 3))
    ('3', '2.5', '2.67')
    """
    if ends(points):
        return exactly(points)
    return _written(_half_up(points, 2), 2).rstrip("0").rstrip(".")


def time_shown(seconds: Decimal | Fraction) -> str:
    """A moment of the recording as minutes and seconds, the part of a second dropped.

    >>> time_shown(Decimal("461.9"))
    '7:41'
    """
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes}:{rest:02}"


def exactly(value: Fraction) -> str:
    """All decimals of a fraction that `ends`, and no zero after the last."""
    places = next(p for p in count() if 10**p % value.denominator == 0)
    return _written(value, places)


def ends(value: Fraction) -> bool:
    """Whether a fraction can be written out in decimals."""
    return pow(10, value.denominator.bit_length(), value.denominator) == 0


def _half_up(value: Fraction, places: int) -> Fraction:
    above, below = value.numerator * 10**places, value.denominator
    return Fraction((2 * above + below) // (2 * below), 10**places)


def _significant(value: Fraction, digits: int) -> Decimal:
    context = Context(prec=digits, rounding=ROUND_HALF_UP)
    return context.divide(Decimal(value.numerator), Decimal(value.denominator))


def _written(value: Fraction, places: int) -> str:
    """All the digits of a value that has no more than these decimal places."""
    whole, rest = divmod(
        value.numerator * (10**places // value.denominator), 10**places
    )
    return f"{whole}.{rest:0{places}}" if places else str(whole)


def _keeps_sides(exact: Fraction, rounded: Fraction, limits: Sequence[Limit]) -> bool:
    return all(limit.same_side(exact, rounded) for limit in limits)
