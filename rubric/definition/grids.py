"""A grid's elements: one for each site, side and instrument."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import product

from rubric.definition.keys import axis_key
from rubric.definition.values import Element, Grid

AXES = ("site", "side", "instrument")

_BRACES = re.compile(r"\{[^{}]*\}?|\}")


def size(grid: Grid) -> int:
    """How many elements the grid has, without making them."""
    return len(grid.sites) * max(1, len(grid.sides)) * max(1, len(grid.instruments))


def expand(grid: Grid) -> tuple[Element, ...]:
    """The grid's elements: site by site, then side, then instrument.

    Keys join the grid's key and the axes in that order; {site}, {side} and
    {instrument} in `text` and `expects` become the cell's; shared points are split
    exactly. Raises ValueError where not exactly one of the two kinds of points is set.
    """
    cells = list(
        product(grid.sites, grid.sides or (None,), grid.instruments or (None,))
    )
    points = _points_of_each(grid, len(cells))
    return tuple(
        Element(
            key=".".join((grid.key, *(axis_key(name) for name in cell if name))),
            text=_filled(grid.text, cell),
            technique=grid.technique,
            points=points,
            critical=grid.critical,
            credit=grid.credit,
            expects=_filled(grid.expects, cell),
            source=grid.source,
            may_excuse=grid.may_excuse,
            say=grid.say,
            grid=grid.key,
            site=cell[0],
            side=cell[1],
            instrument=cell[2],
        )
        for cell in cells
    )


def caption(text: str) -> str:
    """What a grid's elements have in common: its text with the axes left out.

    >>> caption("Feels the {site} pulse, {side}")
    'Feels the … pulse'
    """
    for axis in AXES:
        text = text.replace(f", {{{axis}}}", "").replace(f"{{{axis}}}", "…")
    return text


def stray_placeholders(grid: Grid, text: str) -> tuple[str, ...]:
    """Whatever stands in braces in the text and is not an axis that the grid has."""
    axes = (
        ("site", grid.sites),
        ("side", grid.sides),
        ("instrument", grid.instruments),
    )
    known = {f"{{{axis}}}" for axis, names in axes if names}
    return tuple(found for found in _BRACES.findall(text) if found not in known)


def _points_of_each(grid: Grid, cells: int) -> Fraction:
    if grid.points is not None and grid.points_shared is None:
        return grid.points
    if grid.points_shared is not None and grid.points is None:
        return grid.points_shared / cells if cells else Fraction(0)
    raise ValueError("a grid has either points or points_shared")


def _filled(text: str, cell: tuple[str, str | None, str | None]) -> str:
    for axis, name in zip(AXES, cell, strict=True):
        text = text.replace(f"{{{axis}}}", name or "")
    return text
