"""Figures as pages show them."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django import template

from grading.moments import as_clock

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
