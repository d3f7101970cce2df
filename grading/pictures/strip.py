"""The heat strip: sections down, cohorts across, each cell with its rate in figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

NAMES_WIDTH = 180
CELL_WIDTH = 88
CELL_HEIGHT = 32
HEAD_HEIGHT = 34
LINE = 13
LETTER = 6.7  # a wide letter at the size of the names
# The accent over paper stays light enough for ink at 4.5:1, in both themes.
DARKEST = 0.35


@dataclass(frozen=True)
class Line:
    y: float
    text: str


@dataclass(frozen=True)
class Name:
    """A name on one or two lines, shortened where it is longer; `whole` never is."""

    x: float
    lines: tuple[Line, ...]
    whole: str


@dataclass(frozen=True)
class Cell:
    """One section of one cohort; `shade` is the opacity of the accent under the text."""

    x: float
    y: float
    text_x: float
    text_y: float
    shade: float
    text: str


@dataclass(frozen=True)
class Strip:
    width: int
    height: int
    cell_width: int
    cell_height: int
    sections: tuple[Name, ...]
    cohorts: tuple[Name, ...]
    cells: tuple[Cell, ...]
    title: str


def strip(
    sections: Sequence[str],
    cohorts: Sequence[str],
    rates: Sequence[Sequence[float | None]],
    texts: Sequence[Sequence[str]] | None = None,
) -> Strip:
    """Draw the omission rate (0 to 1) of every section in every cohort.

    `rates` holds a row a section and an entry a cohort; None is drawn without shade.
    `texts`, of the same shape, replaces the percents, for instance with counts where a
    group is small. Shade runs from 0 to the highest rate shown.
    Raises ValueError where the shapes differ or a rate is outside 0 to 1.

    >>> drawn = strip(["Opening"], ["Spring", "Autumn"], [[0.2, None]])
    >>> [(cell.text, cell.shade) for cell in drawn.cells]
    [('20%', 0.35), ('no rate', 0.0)]
    """
    _check_shape(sections, cohorts, rates)
    if texts is not None:
        _check_shape(sections, cohorts, texts)
    known = [rate for row in rates for rate in row if rate is not None]
    if any(not 0 <= rate <= 1 for rate in known):
        raise ValueError("a rate must be 0 to 1")
    highest = max(known, default=0) or 1
    cells = tuple(
        _cell(i, j, rate, highest, texts[i][j] if texts else _percent(rate))
        for i, row in enumerate(rates)
        for j, rate in enumerate(row)
    )
    return Strip(
        NAMES_WIDTH + CELL_WIDTH * len(cohorts),
        HEAD_HEIGHT + CELL_HEIGHT * len(sections),
        CELL_WIDTH - 2,
        CELL_HEIGHT - 2,
        tuple(_section(i, name) for i, name in enumerate(sections)),
        tuple(_cohort(j, name) for j, name in enumerate(cohorts)),
        cells,
        f"Share left out, by section and cohort: {len(sections)} sections, "
        f"{len(cohorts)} cohorts",
    )


def _cell(i: int, j: int, rate: float | None, highest: float, text: str) -> Cell:
    x, y = NAMES_WIDTH + j * CELL_WIDTH, HEAD_HEIGHT + i * CELL_HEIGHT
    return Cell(
        x=x,
        y=y,
        text_x=x + (CELL_WIDTH - 2) / 2,
        text_y=y + 19,
        shade=0.0 if rate is None else round(DARKEST * rate / highest, 3),
        text=text,
    )


def _section(i: int, name: str) -> Name:
    middle = HEAD_HEIGHT + i * CELL_HEIGHT + 19
    return Name(0, _lines(name, NAMES_WIDTH - 8, middle), name)


def _cohort(j: int, name: str) -> Name:
    x = NAMES_WIDTH + j * CELL_WIDTH + (CELL_WIDTH - 2) / 2
    return Name(x, _lines(name, CELL_WIDTH, 20), name)


def _lines(name: str, width: float, middle: float) -> tuple[Line, ...]:
    texts = wrap(name, int(width / LETTER), max_lines=2, placeholder="…")
    top = middle - LINE * (len(texts) - 1) / 2
    return tuple(Line(top + LINE * i, text) for i, text in enumerate(texts))


def _percent(rate: float | None) -> str:
    return "no rate" if rate is None else f"{rate:.0%}"


def _check_shape(
    sections: Sequence[str], cohorts: Sequence[str], rows: Sequence[Sequence[object]]
) -> None:
    if len(rows) != len(sections) or any(len(row) != len(cohorts) for row in rows):
        raise ValueError("a strip needs a row a section and an entry a cohort")
