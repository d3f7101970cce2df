"""Points and criticals by section as coordinates, for a panel of 300 px."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rubric.definition.weights import SectionWeight, Weights

WIDTH = 280
BAR = 140  # the longest
ROW = 58
LONGEST_TITLE = 38  # characters that fit the width


@dataclass(frozen=True)
class Row:
    """A section: its two bars begin at 0 and lie under its title."""

    y: int
    title: str
    points: float
    points_words: str
    criticals: float
    failing: float
    criticals_words: str


@dataclass(frozen=True)
class WeightsPicture:
    width: int
    height: int
    title: str
    rows: tuple[Row, ...]


def draw(weights: Weights) -> WeightsPicture:
    """A row a section; its bars are its shares of all points and of all criticals, on
    one scale, on which the largest of them all is the longest bar.
    """
    criticals = weights.criticals or 1
    largest = max(
        max(section.share, Fraction(section.criticals, criticals))
        for section in weights.sections
    )
    scale = BAR / float(largest or 1)
    rows = tuple(
        _row(n * ROW, scale, weights, section)
        for n, section in enumerate(weights.sections)
    )
    return WeightsPicture(
        WIDTH, ROW * len(rows), "Points and criticals by section", rows
    )


def _row(y: int, scale: float, weights: Weights, section: SectionWeight) -> Row:
    title = section.title
    if len(title) > LONGEST_TITLE:
        title = f"{title[: LONGEST_TITLE - 1]}…"
    of_all = weights.criticals or 1
    return Row(
        y=y,
        title=title,
        points=round(float(section.share) * scale, 1),
        points_words=f"{round(section.share * 100)}% of points",
        criticals=round(section.criticals / of_all * scale, 1),
        failing=round(section.failing / of_all * scale, 1),
        criticals_words=f"{section.criticals} of {weights.criticals} criticals",
    )
