"""Which parts of a recording were played: spans of seconds, sorted and apart."""

from __future__ import annotations

from collections.abc import Iterable

Span = tuple[float, float]
# Players report the time a few times a second; gaps below this are not unplayed parts.
JOIN_SECONDS = 1.5


def merge(*lists: Iterable[Iterable[float]]) -> list[Span]:
    """The union of spans, those that touch (within JOIN_SECONDS) made one.

    >>> merge([(0, 10), (30, 40)], [(9, 20.5)])
    [(0.0, 20.5), (30.0, 40.0)]
    """
    spans = sorted((float(a), float(b)) for spans in lists for a, b in spans)
    merged: list[Span] = []
    for start, end in spans:
        if merged and start <= merged[-1][1] + JOIN_SECONDS:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((start, end))
    return merged


def unplayed(spans: Iterable[Iterable[float]], length: float) -> list[Span]:
    """The parts between 0 and `length` seconds that no span covers.

    >>> unplayed([(0, 20), (30, 118.9)], 120)
    [(20.0, 30.0)]
    """
    parts: list[Span] = []
    reached = 0.0
    for start, end in merge(spans):
        if start - reached > JOIN_SECONDS:
            parts.append((reached, min(start, length)))
        reached = max(reached, end)
    if length - reached > JOIN_SECONDS:
        parts.append((reached, length))
    return [part for part in parts if part[0] < length]
