"""Pasted text into rows of cells, and what each column of them holds."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from io import StringIO

from rubric.definition.fields import CONTROL
from rubric.definition.values import Technique
from rubric.definition.verbs import technique_named

MOST_ROWS = 500

# Where lines end: also Word's line break (VT), page break, and Unicode's own two.
_LINE_END = re.compile("\r\n|[\r\x0b\x0c\x85\u2028\u2029]")
_BLANK = re.compile("[\u00a0\u2000-\u200a\u202f\u3000]")
# CONTROL without the tab; and soft hyphens and blanks of no width.
_NOTHING = re.compile(f"(?!\t)[{CONTROL}\u00ad\u200b\u2060]")
_HEADS = {
    "text": "element item step task description criterion criteria text skill behaviour behavior",
    "points": "points point pts marks mark score weight max maximum",
    "technique": "technique method",
    "expects": "expects expected finding findings normal",
    "source": "source sources reference references",
    "section": "section part group area system",
    "number": "no nr number #",
}
HEAD_WORDS = {word: role for role, words in _HEADS.items() for word in words.split()}
_POINTS_WORD = re.compile(r"\s*(?:points?|pts?|marks?)\.?$", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]{1,4}(?:[.,][0-9]{1,4})?")
_MARK = re.compile(
    r"\(?(?:[0-9]{1,3}(?:\.[0-9]{1,3})*|[a-zA-Z]|[ivxIVX]{1,5})[.)]\)?"
    r"|[0-9]{1,3}(?:\.[0-9]{1,3})+|[^\w\s]{1,2}|o"
)
_ENOUGH = 0.6  # of a column's cells


@dataclass(frozen=True)
class Row:
    """One line that was pasted: its cells by what they hold, and cells nobody asked for."""

    cells: dict[str, str]
    other: tuple[str, ...] = ()


def read_rows(text: str) -> list[Row]:
    """The lines that say something. Raises ValueError where they are too many."""
    text = _NOTHING.sub("", _BLANK.sub(" ", _LINE_END.sub("\n", text)))
    grid = [[cell.strip() for cell in line] for line in _split(text)]
    grid = _without_marks([cells for cells in grid if any(cells)])
    if len(grid) > MOST_ROWS:
        raise ValueError(f"{len(grid)} lines are pasted; at most {MOST_ROWS} at once.")
    if not grid:
        return []
    roles, grid = _roles(grid)
    rows = []
    for cells in grid:
        named: dict[str, str] = {}
        other = []
        for n, cell in enumerate(cells):
            role = roles[n] if n < len(roles) else ""
            if role and role not in named:
                named[role] = cell
            elif cell:
                other.append(cell)
        if not named.get("text") and other:
            named["text"] = other.pop(0)
        rows.append(Row(named, tuple(other)))
    return rows


def as_number(cell: str) -> str | None:
    """The points that a cell holds: "2", "1,5", "2 pts"; None where it holds none."""
    word = _POINTS_WORD.sub("", cell.strip())
    return word.replace(",", ".") if _NUMBER.fullmatch(word) else None


def _split(text: str) -> Iterable[list[str]]:
    if "\t" in text.strip("\t"):
        return _read(text, "\t")
    for sign in ",;":
        rows = [row for row in _read(text, sign) if any(row)]
        widths = {len(row) for row in rows}
        if len(rows) > 1 and len(widths) == 1 and widths != {1} and _is_table(rows):
            return rows
    return [[line] for line in text.split("\n")]


def _read(text: str, sign: str) -> list[list[str]]:
    """Cells as a spreadsheet writes them: one with a line end or a quote is quoted."""
    quoted = re.search(rf'(?:^|[{sign}\n])"', text) and text.count('"') % 2 == 0
    lines = StringIO(text, newline="")
    found = (
        csv.reader(lines, delimiter=sign)
        if quoted
        else csv.reader(lines, delimiter=sign, quoting=csv.QUOTE_NONE)
    )
    return [[cell.replace("\n", " ") for cell in row] for row in found]


def _without_marks(grid: list[list[str]]) -> list[list[str]]:
    """The rows without a first cell of bullets or numbers, where a word processor put
    a tab behind them.
    """
    marked = [len(cells) > 1 and bool(_MARK.fullmatch(cells[0])) for cells in grid]
    if not any(marked):
        return grid
    return [
        cells[1:] if mark or (len(cells) > 1 and not cells[0]) else cells
        for cells, mark in zip(grid, marked, strict=True)
    ]


def _is_table(rows: list[list[str]]) -> bool:
    """Whether commas part cells, not the words of a sentence."""
    if _head(rows[0]):
        return True
    columns = list(zip(*rows, strict=True))
    return any(
        _share(column, as_number) >= _ENOUGH or set(column) <= set(Technique)
        for column in columns
    )


def _head(cells: list[str]) -> list[str]:
    """The roles that a first row names; none where it is no head of a table."""
    roles = [HEAD_WORDS.get(cell.lower().rstrip(":."), "") for cell in cells]
    named = [role for role in roles if role]
    return roles if "text" in named and len(named) > 1 else []


def _roles(grid: list[list[str]]) -> tuple[list[str], list[list[str]]]:
    if roles := _head(grid[0]):
        return roles, grid[1:]
    width = max(map(len, grid))
    columns = [[row[n] if n < len(row) else "" for row in grid] for n in range(width)]
    roles = [""] * width
    for n, column in enumerate(columns):
        if n == 0 and width > 1 and _is_numbering(column):
            roles[n] = "number"
        elif (
            width > 1 and _share(column, as_number) >= _ENOUGH and "points" not in roles
        ):
            roles[n] = "points"
        elif _share(column, technique_named) >= _ENOUGH and "technique" not in roles:
            roles[n] = "technique" if width > 1 else ""
    free = [n for n in range(width) if not roles[n]]
    if not free and "technique" in roles:
        free = [roles.index("technique")]
    if free:
        longest = max(free, key=lambda n: sum(map(len, columns[n])))
        roles[longest] = "text"
    return roles, grid


def _is_numbering(column: list[str]) -> bool:
    """Whether its numbers go up by one."""
    said = [cell for cell in column if cell]
    whole = [int(cell) for cell in said if re.fullmatch("[0-9]{1,3}", cell)]
    return len(whole) == len(said) > 1 and whole == list(
        range(whole[0], whole[0] + len(whole))
    )


def _share(column: Iterable[str], reads: Callable[[str], object]) -> float:
    """How many of the column's filled cells can be read so."""
    said = [cell for cell in column if cell]
    return sum(reads(cell) is not None for cell in said) / len(said) if said else 0.0
