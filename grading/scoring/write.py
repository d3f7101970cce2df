"""A Sheet into a marks file."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction

from grading.scoring.read import FORMAT
from grading.scoring.sheet import Sheet
from grading.scoring.shown import exactly


def write_marks(sheet: Sheet) -> str:
    """A marks file that reads back as the same sheet; equal sheets give equal text.

    One mark, sighting and ruling a line; what is not known is left out.
    """
    length = _written(sheet.length_seconds)
    rating = None if sheet.global_rating is None else str(sheet.global_rating)
    marks = [
        _entry(
            element=json.dumps(mark.element),
            state=json.dumps(mark.state),
            level=None if mark.level is None else str(mark.level),
            at=_written(mark.at),
            reason=_text(mark.reason),
        )
        for mark in sheet.marks
    ]
    hazards = [
        _entry(
            rule=json.dumps(sighting.rule),
            at=_written(sighting.at),
            confirmed=json.dumps(sighting.confirmed),
        )
        for sighting in sheet.hazards
    ]
    rulings = [
        _entry(
            rule=json.dumps(ruling.rule),
            result=json.dumps(ruling.result),
            note=_text(ruling.note),
        )
        for ruling in sheet.rulings
    ]
    head = _entry(
        format=json.dumps(FORMAT),
        length_seconds=length,
        start_at=_written(sheet.start_at),
        extra_minutes=_written(sheet.extra_minutes),
        global_rating=rating,
    )
    lists = {"marks": marks, "hazards": hazards, "rulings": rulings}
    body = ",\n".join(f' "{key}": {_lines(entries)}' for key, entries in lists.items())
    return f"{head[:-1]},\n{body}}}\n"


def _entry(**values: str | None) -> str:
    """A JSON object of values that are JSON already, without those that are None."""
    pairs = (f'"{key}": {value}' for key, value in values.items() if value is not None)
    return f"{{{', '.join(pairs)}}}"


def _lines(entries: list[str]) -> str:
    inner = ",\n".join(f"  {entry}" for entry in entries)
    return f"[\n{inner}]" if entries else "[]"


def _text(text: str) -> str | None:
    return json.dumps(text, ensure_ascii=False) if text else None


def _written(number: Decimal | None) -> str | None:
    return None if number is None else exactly(Fraction(number))
