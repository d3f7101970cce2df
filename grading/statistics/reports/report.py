"""What the statistics command prints: rows, figures of the whole, and notes."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isnan

from grading.statistics.figure import Figure

Number = float | int | None


@dataclass(frozen=True)
class Row:
    """One row: its key columns, its figures, and why which of them are undefined."""

    key: Mapping[str, str]
    figures: Mapping[str, Number]
    reasons: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Names:
    """A figure of the whole that is a list of names, such as the groups outside."""

    names: tuple[str, ...]
    n: int
    method: str


@dataclass(frozen=True)
class Report:
    what: str
    n: int
    rows: Sequence[Row]
    whole: Mapping[str, Figure | Names]
    notes: Sequence[str] = ()

    def as_json(self) -> str:
        """One object on one line; escapes keep it the same on every terminal."""
        return json.dumps(
            {
                "what": self.what,
                "n": self.n,
                "rows": [
                    {**row.key, **row.figures, "reasons": dict(row.reasons)}
                    for row in self.rows
                ],
                "whole": {name: _object(figure) for name, figure in self.whole.items()},
                "notes": list(self.notes),
            },
            allow_nan=False,
        )

    def as_text(self) -> str:
        """Aligned tables, one for each kind of row, then the whole, then the notes."""
        blocks = [f"{self.what}, n = {self.n}"]
        kinds: dict[tuple[str, ...], list[Row]] = {}
        for row in self.rows:
            kinds.setdefault((*row.key, *row.figures), []).append(row)
        for names, rows in kinds.items():
            cells = [
                [*row.key.values(), *map(_number, row.figures.values())] for row in rows
            ]
            blocks.append(_aligned([list(names), *cells], len(rows[0].key)))
        if self.whole:
            header = ["figure", "value", "low", "high", "n", "method"]
            lines = [_line(name, figure) for name, figure in self.whole.items()]
            blocks.append(_aligned([header, *lines], 1))
        remarks = [*self._undefined(), *self.notes]
        if remarks:
            blocks.append("\n".join(f"- {remark}" for remark in remarks))
        return "\n\n".join(blocks)

    def _undefined(self) -> list[str]:
        """Each reason once, with the figures it holds for."""
        held: dict[str, list[str]] = {}
        for row in self.rows:
            for name, reason in row.reasons.items():
                held.setdefault(reason, []).append(
                    f"{'/'.join(row.key.values())} {name}"
                )
        for name, figure in self.whole.items():
            if isinstance(figure, Figure) and figure.reason:
                held.setdefault(figure.reason, []).append(name)
        return [f"{', '.join(names)}: {reason}" for reason, names in held.items()]


def row(
    key: Mapping[str, str],
    values: Mapping[str, float | int | Figure],
    reason: str | None = None,
) -> Row:
    """A row from numbers and figures; `reason` explains every number that is NaN."""
    figures: dict[str, Number] = {}
    reasons = {}
    for name, value in values.items():
        if isinstance(value, Figure):
            figures[name] = value.value
            if value.value is None:
                reasons[name] = str(value.reason)
        elif isnan(value):
            figures[name] = None
            reasons[name] = str(reason)
        else:
            figures[name] = value
    return Row(key, figures, reasons)


def _object(figure: Figure | Names) -> dict[str, object]:
    if isinstance(figure, Names):
        value: object = list(figure.names)
        low = high = reason = None
    else:
        value, low, high = figure.value, figure.low, figure.high
        reason = figure.reason
    return {
        "value": value,
        "low": low,
        "high": high,
        "n": figure.n,
        "method": figure.method,
        "reason": reason,
    }


def _line(name: str, figure: Figure | Names) -> list[str]:
    if isinstance(figure, Names):
        value = ", ".join(figure.names) or "none"
        return [name, value, "", "", str(figure.n), figure.method]
    limits = ["" if x is None else _number(x) for x in (figure.low, figure.high)]
    return [name, _number(figure.value), *limits, str(figure.n), figure.method]


def _number(value: Number) -> str:
    if value is None:
        return "-"
    if isinstance(value, int):
        return str(value)
    return f"{value:.4f}" if value == 0 or abs(value) >= 0.0001 else f"{value:.1e}"


def _aligned(lines: list[list[str]], words: int) -> str:
    """Columns of one width: the first `words` to the left, numbers to the right."""
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  ".join(
            cell.ljust(width)
            if i < words or lines[0][i] == "method"
            else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )
