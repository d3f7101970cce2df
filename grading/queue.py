"""The order in which a marker's recordings wait, and how long they will take."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from statistics import median
from typing import TypeVar

from grading.models import Marking

M = TypeVar("M", bound=Marking)
# The newest markings tell today's pace better than a whole term does.
RECENT = 20


def in_order(markings: Iterable[M], now: datetime) -> list[M]:
    """Overdue first, then batch by batch (return date); within a batch by the drawn lot.

    The lot comes from the assignment's own seed, so that the order stays as it is while
    a batch is marked, and nobody's place in the row meets a tired marker by name or by
    time of handing in.
    """

    def place(marking: M) -> tuple[bool, datetime, int, bytes]:
        assignment = marking.submission.assignment
        return (
            assignment.return_at >= now,
            assignment.return_at,
            assignment.pk,
            _lot(assignment.seed, marking.submission_id),
        )

    return sorted(markings, key=place)


def pace(finished: Iterable[tuple[int, Decimal | None]]) -> float | None:
    """Seconds of work a second of recording: the median over finished markings.

    `finished` holds (worked seconds, length in seconds), newest first; None where no
    marking tells both.

    >>> pace([(900, Decimal(600)), (1200, Decimal(600)), (60, None)])
    1.75
    """
    ratios = [
        worked / float(length) for worked, length in finished if worked and length
    ]
    return median(ratios[:RECENT]) if ratios else None


def predicted_minutes(
    own_pace: float | None, length: Decimal | None, share_left: float = 1.0
) -> int | None:
    """Whole minutes for what is left of a recording at one's own pace, at least 1."""
    if own_pace is None or length is None:
        return None
    return max(1, round(own_pace * float(length) * share_left / 60))


def _lot(seed: int, submission: int) -> bytes:
    return hashlib.sha256(f"{seed}:{submission}".encode()).digest()
