"""Figures as pages show them."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django import template

from grading.moments import as_clock
from grading.omission_table import signed_points

register = template.Library()


@register.filter
def clock(seconds: Decimal | float | None) -> str:
    """Seconds as m:ss; a dash where there are none."""
    return as_clock(seconds) or "–"


@register.filter
def lasting(time: timedelta | int | None) -> str:
    """A length of time, or whole minutes, in its largest two units.

    >>> lasting(timedelta(days=1, hours=2, minutes=5)), lasting(135)
    ('1 day 2 h', '2 h 15 min')
    """
    if time is None:
        return ""
    minutes = time if isinstance(time, int) else int(time.total_seconds() // 60)
    days, hours, minutes = minutes // 1440, minutes // 60 % 24, minutes % 60
    words = [f"{days} day{'s' * (days > 1)}"] if days else []
    words += [f"{hours} h"] if hours else []
    words += [f"{minutes} min"] if minutes and not days else []
    return " ".join(words) or "under a minute"


@register.filter
def percent(share: float | None) -> str:
    """A share of 0 to 1 as a whole percentage.

    >>> percent(0.4318)
    '43%'
    """
    return "" if share is None else f"{share:.0%}"


@register.filter
def points(share: float | None) -> str:
    """A difference of shares in percentage points, with its sign."""
    return signed_points(share)


@register.filter
def chance(p: float | None) -> str:
    """A p or q value, never as a bare 0.

    >>> chance(0.0004), chance(0.0312), chance(0.4)
    ('<0.001', '0.031', '0.40')
    """
    if p is None:
        return ""
    return "<0.001" if p < 0.001 else f"{p:.3f}" if p < 0.1 else f"{p:.2f}"
