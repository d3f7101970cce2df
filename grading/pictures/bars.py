"""A section's points as a bar, with an upright stroke at its own minimum."""

from __future__ import annotations

from dataclasses import dataclass

WIDTH = 260
HEIGHT = 12


@dataclass(frozen=True)
class Bar:
    """`filled` of `width` is earned; `minimum` is where the stroke stands, if any."""

    width: int
    height: int
    filled: float
    minimum: float | None
    title: str


def bar(share: float | None, title: str, minimum_percent: float | None = None) -> Bar:
    """Draw the share (0 to 1) of the section's points that was earned.

    None means that nothing in the section could be judged: an empty bar. The title
    says it in words ("Opening: 8 of 9 points").
    Raises ValueError for a share outside 0 to 1 or a minimum outside 0 to 100.

    >>> bar(8 / 9, "Opening: 8 of 9 points", minimum_percent=50)
    Bar(width=260, height=12, filled=231.1, minimum=130.0, title='Opening: 8 of 9 points')
    """
    if share is not None and not 0 <= share <= 1:
        raise ValueError(f"a share must be 0 to 1, but got {share}")
    if minimum_percent is not None and not 0 <= minimum_percent <= 100:
        raise ValueError(f"a minimum must be 0 to 100, but got {minimum_percent}")
    stroke = None if minimum_percent is None else minimum_percent / 100 * WIDTH
    return Bar(
        WIDTH,
        HEIGHT,
        filled=round((share or 0) * WIDTH, 1),
        minimum=None if stroke is None else round(stroke, 1),
        title=title,
    )
