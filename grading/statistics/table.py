"""A person's own table: CSV in, columns out, or every fault with its line.

CSV is that of RFC 4180 in UTF-8 with a header; a byte order mark and bare line feeds
are accepted, as is an empty line at the end.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np
import numpy.typing as npt

from grading.statistics.proportions import Floats
from rubric.faults import Fault, Faults, one_of, quoted

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
# a row whose quotes stand where RFC 4180 lets them stand
QUOTED_ROW = re.compile(
    r'(?:"(?:[^"]|"")*"|[^"\r\n,]*)(?:,(?:"(?:[^"]|"")*"|[^"\r\n,]*))*[\r\n]*'
)
UTF_8 = "text saved as UTF-8"
QUOTES = 'a cell with quotes is itself in quotes, and each of its quotes is written ""'


class CellError(Exception):
    """One cell that cannot be: what is wrong, and what is allowed."""

    def __init__(self, what: str, allowed: str) -> None:
        super().__init__(what)
        self.what = what
        self.allowed = allowed


@dataclass(frozen=True)
class Column:
    """A column by name; `read` turns a cell into text or number or raises CellError."""

    name: str
    read: Callable[[str], str | float]
    optional: bool = False
    may_be_empty: bool = False


@dataclass(frozen=True)
class Table:
    """The columns of one file. `lines` holds the file's line of each row."""

    file: str
    lines: tuple[int, ...]
    columns: dict[str, tuple[str | float | None, ...]]

    def __len__(self) -> int:
        return len(self.lines)

    def __contains__(self, column: str) -> bool:
        return column in self.columns

    def texts(self, column: str) -> tuple[str, ...]:
        """A column of words; an empty cell is an empty text."""
        return tuple(str(cell or "") for cell in self.columns[column])

    def numbers(self, column: str) -> Floats:
        """A column of numbers; an empty cell is NaN."""
        cells = self.columns[column]
        return np.array([np.nan if c is None else c for c in cells], dtype=np.float64)

    def coded(self, column: str) -> tuple[list[str], npt.NDArray[np.int64]]:
        """The column's distinct words in order of appearance, and each row's position."""
        texts = self.texts(column)
        names = list(dict.fromkeys(texts))
        position = {name: i for i, name in enumerate(names)}
        return names, np.array([position[text] for text in texts], dtype=np.int64)

    def kept(self, rows: npt.NDArray[np.bool_]) -> Table:
        """The table with these rows only."""
        places = np.flatnonzero(rows).tolist()
        return Table(
            self.file,
            tuple(self.lines[i] for i in places),
            {
                name: tuple(cells[i] for i in places)
                for name, cells in self.columns.items()
            },
        )

    def refuse(self, row: int, what: str, allowed: str = "") -> Fault:
        """A fault in one row of this table."""
        return Fault(self.file, self.lines[row], what, allowed)


def text(cell: str) -> str:
    """A name: one printable line without spaces around it."""
    if not cell:
        raise CellError("is empty", "a name")
    if not cell.isprintable():
        raise CellError(f"{quoted(cell)} holds a control character", "one line of text")
    if cell != cell.strip():
        raise CellError(f"{quoted(cell)} has spaces around it", repr(cell.strip()))
    return cell


def word(allowed: Sequence[str]) -> Callable[[str], str]:
    """One of these words."""

    def read(cell: str) -> str:
        if cell not in allowed:
            raise CellError(quoted(cell) if cell else "is empty", one_of(allowed, cell))
        return cell

    return read


def number(low: float, high: float, whole: bool = False) -> Callable[[str], float]:
    """A number from low to high."""
    kind = "a whole number" if whole else "a number"
    allowed = f"{kind} from {low:g} to {high:g}"

    def read(cell: str) -> float:
        if not NUMBER.fullmatch(cell):
            what = f"{quoted(cell)} is not a number" if cell else "is empty"
            raise CellError(what, allowed)
        value = float(cell)
        if not (isfinite(value) and low <= value <= high):
            raise CellError(f"{cell} is out of range", allowed)
        if whole and not value.is_integer():
            raise CellError(f"{cell} is not whole", allowed)
        return value

    return read


def read_table(
    file: str, data: bytes, columns: Sequence[Column], key: Sequence[str]
) -> Table:
    """Read a CSV file's bytes; `key` names the columns that no two rows may share.

    Raises Faults with every fault found, in order of line.

    >>> columns = [Column("group", text), Column("n", number(0, 99, whole=True))]
    >>> read_table("a.csv", b"group,n\\nx,4\\n", columns, key=["group"]).numbers("n").tolist()
    [4.0]
    """
    rows = _rows(file, data)
    line, header = next(rows, (1, []))
    present = _present(file, line, header, columns)
    lines, cells, faults = [], [], []
    for line, row in rows:
        if len(row) != len(header):
            what = f"{len(row)} cell{'' if len(row) == 1 else 's'}"
            allowed = f"{len(header)}, as many as in the header"
            faults.append(Fault(file, line, what, allowed))
        else:
            lines.append(line)
            cells.append(row)
    by_column = list(zip(*cells, strict=True)) or [()] * len(header)
    read: dict[str, tuple[str | float | None, ...]] = {}
    for column in present:
        texts = by_column[header.index(column.name)]
        read[column.name] = _cells(file, column, texts, lines, faults)
    faults += _repeated(file, lines, read, key)
    if faults:
        raise Faults(sorted(faults, key=lambda fault: fault.line or 0))
    return Table(file, tuple(lines), read)


def _rows(file: str, data: bytes) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line it starts on, the header first."""
    try:
        decoded = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = f"byte 0x{data[error.start]:02x} is not UTF-8"
        raise Faults([Fault(file, line, what, UTF_8)]) from None
    if "\0" in decoded:  # UTF-16 without its mark, or no text at all
        line = decoded.count("\n", 0, decoded.index("\0")) + 1
        raise Faults([Fault(file, line, "a zero byte is not text", UTF_8)])
    if not decoded.strip():
        raise Faults([Fault(file, None, "the file is empty", "a header and rows")])
    taken: list[str] = []
    source = _Recorder(decoded.rstrip("\r\n"), taken)
    reader = csv.reader(source, strict=True)
    line = 1
    while True:
        taken.clear()
        try:
            row = next(reader, None)
        except csv.Error as error:
            what, allowed = _csv_fault(str(error))
            raise Faults([Fault(file, line, what, allowed)]) from None
        if row is None:
            return
        raw = "".join(taken)
        if '"' in raw and not QUOTED_ROW.fullmatch(raw):
            what = "a quote stands inside a cell that is not in quotes"
            raise Faults([Fault(file, line, what, QUOTES)])
        yield line, row
        line += len(taken)


class _Recorder:
    """Hands lines to the CSV reader and keeps those of the row being read."""

    def __init__(self, decoded: str, taken: list[str]) -> None:
        self.lines = io.StringIO(decoded, newline="")
        self.taken = taken

    def __iter__(self) -> _Recorder:
        return self

    def __next__(self) -> str:
        self.taken.append(next(self.lines))
        return self.taken[-1]


def _csv_fault(message: str) -> tuple[str, str]:
    if "field larger than" in message:
        limit = csv.field_size_limit()
        return "a cell is too long", f"at most {limit} characters"
    if "unexpected end of data" in message:
        return "a quote is opened and never closed", QUOTES
    return "a cell goes on after its closing quote", QUOTES


def _present(
    file: str, line: int, header: list[str], columns: Sequence[Column]
) -> list[Column]:
    names = [column.name for column in columns]
    faults = []
    for i, name in enumerate(header):
        if name not in names:
            what = f"unknown column {quoted(name)}"
            faults.append(Fault(file, line, what, one_of(names, name)))
        elif name in header[:i]:
            faults.append(Fault(file, line, f"column {name} stands twice", "once"))
    for column in columns:
        if column.name not in header and not column.optional:
            what = f"column {column.name} is missing"
            faults.append(Fault(file, line, what, ", ".join(names)))
    if faults:
        raise Faults(faults)
    return [column for column in columns if column.name in header]


def _cells(
    file: str,
    column: Column,
    texts: Sequence[str],
    lines: Sequence[int],
    faults: list[Fault],
) -> tuple[str | float | None, ...]:
    """Each distinct text is read once: a column of a million states has seven."""
    known: dict[str, str | float | None] = {"": None} if column.may_be_empty else {}
    wrong: dict[str, CellError] = {}
    for cell in dict.fromkeys(texts):
        if cell not in known:
            try:
                known[cell] = column.read(cell)
            except CellError as error:
                wrong[cell] = error
    if wrong:
        for cell, line in zip(texts, lines, strict=True):
            if cell in wrong:
                what = f"{column.name} {wrong[cell].what}"
                faults.append(Fault(file, line, what, wrong[cell].allowed))
    return tuple(known.get(cell) for cell in texts)


def _repeated(
    file: str,
    lines: Sequence[int],
    columns: dict[str, tuple[str | float | None, ...]],
    key: Sequence[str],
) -> list[Fault]:
    first: dict[tuple[str | float | None, ...], int] = {}
    faults = []
    keys = zip(*(columns[name] for name in key), strict=True)
    for values, line in zip(keys, lines, strict=True):
        if None in values:  # unreadable, and said so already
            continue
        seen = first.setdefault(values, line)
        if seen != line:
            what = f"the same {', '.join(key)} as line {seen}"
            faults.append(Fault(file, line, what, "one row for each"))
    return faults
