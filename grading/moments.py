"""Moments of a recording as people write them."""

from __future__ import annotations

import re
from decimal import Decimal

from grading.scoring import time_shown

_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?")


def as_clock(seconds: Decimal | float | None) -> str:
    """Seconds as m:ss, cut to the whole second; empty for None.

    >>> as_clock(370.9), as_clock(None)
    ('6:10', '')
    """
    return "" if seconds is None else time_shown(Decimal(str(seconds)))


def read_clock(text: str) -> Decimal:
    """The seconds of "6:10", "1:02:05" or "6:10.5". Raises ValueError for another form.

    >>> read_clock("6:10.5")
    Decimal('370.5')
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None or (match[1] and int(match[2]) > 59):
        raise ValueError("a moment is written m:ss or h:mm:ss, for example 12:40")
    hours, minutes, seconds, part = match.groups()
    whole = 3600 * int(hours or 0) + 60 * int(minutes) + int(seconds)
    return Decimal(f"{whole}.{part}") if part else Decimal(whole)
