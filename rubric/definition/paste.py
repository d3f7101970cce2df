"""Lines from a word processor or cells from a spreadsheet, as elements to be."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from itertools import count
from typing import Any, NamedTuple

from rubric.definition.columns import Row, as_number, read_rows
from rubric.definition.exact import Number, for_browser
from rubric.definition.keys import is_key
from rubric.definition.values import Technique
from rubric.definition.verbs import technique_named, technique_of

_BULLET = re.compile(
    r"(?:[•◦▪▫‣∙·●○■□☐☑☒✓✔➢*\-–—−]+|o(?=\s+[A-Z])|\[[ xX]?\])\s+"
    r"|[☐☑☒□]\s*"
)
_NUMBERING = re.compile(
    r"\(?(?:[0-9]{1,3}(?:\.[0-9]{1,3})*|[a-zA-Z]|[ivxIVX]{1,5})[.)]\)?\s+"
    r"|[0-9]{1,3}(?:\.[0-9]{1,3})+\s+"
)
_AMOUNT = r"(?P<points>[0-9]{1,4}(?:[.,][0-9]{1,4})?|½)"
_POINTS = (
    re.compile(
        rf"[\s_]*[(\[]\s*/?\s*{_AMOUNT}\s*(?:points?|pts?|marks?)?\.?\s*[)\]]\.?$", re.I
    ),
    re.compile(rf"(?:^|[\s_,;:–—-])+{_AMOUNT}\s*(?:points?|pts?|marks?)\.?$", re.I),
    re.compile(rf"[\s_]*_+\s*/\s*{_AMOUNT}$"),
    re.compile(rf"^[(\[]\s*{_AMOUNT}\s*(?:points?|pts?|marks?)?\.?\s*[)\]]\s*", re.I),
)
_SMALL = frozenset(
    [
        "the",
        "a",
        "an",
        "of",
        "and",
        "or",
        "for",
        "to",
        "with",
        "in",
        "on",
        "at",
        "by",
        "from",
        "his",
        "her",
        "their",
        "its",
        "is",
        "are",
    ]
)
LONGEST_HEADING = 60
WORDS_OF_A_KEY = 5
LONGEST_WORDS = 60  # characters of them


class Read(NamedTuple):
    """A line's text without the points that stood in it, and those points as written."""

    text: str
    points: str | None = None
    words: str = ""


def read_lines(
    text: str, *, keys: Collection[str] = (), section: str = ""
) -> list[dict[str, Any]]:
    """What each line would become: {"kind", "fields", "notes"}; nothing is taken yet.

    Kind is element, or section for an evident heading. Keys are new beside `keys` and
    begin with that of the section they stand in, at first `section`. Notes say what
    was guessed. Raises ValueError for more than 500 lines.
    """
    taken, rows, last = set(keys), list[dict[str, Any]](), ""
    for row in read_rows(text):
        named = row.cells.get("section", "")
        if named and named != last:
            rows.append(_section(named, [], taken))
            section, last = rows[-1]["fields"]["key"], named
        read = _without_points(_bare(row.cells.get("text", "")))
        title = _heading(row, read)
        if title:
            notes = [f"'{read.words}' stood beside it"] if read.words else []
            rows.append(_section(title, notes, taken))
            section = rows[-1]["fields"]["key"]
        elif read.text:
            rows.append(_element(row, read, section, taken))
    return [for_browser(row) for row in rows]


def _bare(text: str) -> str:
    """The line without bullets and numbering; a number that is all there is stays."""
    while True:
        mark = _BULLET.match(text) or _NUMBERING.match(text)
        if not mark or mark.end() == len(text):
            return " ".join(text.split())
        text = text[mark.end() :]


def _without_points(line: str) -> Read:
    text = line.rstrip(": ")
    colon = ":" if line.endswith(":") else ""
    for pattern in _POINTS:
        if found := pattern.search(text):
            rest = f"{text[: found.start()]}{text[found.end() :]}".strip()
            points = found["points"].replace("½", "0.5").replace(",", ".")
            return Read(rest + colon, points, found.group().strip(" _,;:–—-"))
    return Read(line)


def _heading(row: Row, read: Read) -> str:
    """The title, where the line is evidently the heading of a section."""
    if row.cells.get("points") or row.cells.get("technique") or row.other:
        return ""
    marked = re.fullmatch(r"#{1,6}\s+(.+)", read.text)
    title = (marked[1] if marked else read.text).rstrip(": ")
    short = len(title) <= LONGEST_HEADING and technique_of(title) is None
    loud = len(title) > 3 and title.isupper() and read.points is None
    if title and (marked or (short and (read.text.endswith(":") or loud))):
        return title.capitalize() if title.isupper() else title
    return ""


def _section(title: str, notes: list[str], taken: set[str]) -> dict[str, Any]:
    key = _new_key(_words(title) or "section", taken)
    return {"kind": "section", "fields": {"key": key, "title": title}, "notes": notes}


def _element(row: Row, read: Read, section: str, taken: set[str]) -> dict[str, Any]:
    notes = []
    cell = row.cells.get("points", "")
    points = as_number(cell) if cell else read.points
    if cell and points is None:
        notes.append(f"'{cell}' is no number of points")
    if points is None:
        notes.append("1 point, because none was found")
    elif not cell:
        notes.append(f"points from '{read.words}'")
    cell = row.cells.get("technique", "")
    technique = technique_named(cell) if cell else technique_of(read.text)
    if cell and technique is None:
        notes.append(f"'{cell}' is no technique")
        technique = technique_of(read.text)
    if technique is None:
        notes.append("perform, because no word says which technique")
    if read.text.endswith(":"):
        notes.append("ends with a colon: what it introduces may be a grid")
    notes += [f"left out: '{other}'" for other in row.other]
    key = _words(read.text) or "element"
    fields = {
        "key": _new_key(f"{section}.{key}" if section else key, taken),
        "text": read.text,
        "technique": (technique or Technique.PERFORM).value,
        "points": Number(points or "1"),
    }
    fields |= {n: row.cells[n] for n in ("expects", "source") if row.cells.get(n)}
    return {"kind": "element", "fields": fields, "notes": notes}


def _words(text: str) -> str:
    """The first words that say something, as one part of a key."""
    plain = unicodedata.normalize("NFC", text).lower()
    found = re.findall(r"[^\W_]+", plain.replace("'", "").replace("’", ""))
    said = [word for word in found if word not in _SMALL] or found
    key = "-".join(said[:WORDS_OF_A_KEY])[:LONGEST_WORDS].strip("-")
    return key if is_key(key) else ""


def _new_key(key: str, taken: set[str]) -> str:
    """The key, or with a number behind it; taken from then on."""
    new = next(
        k for n in count(1) if (k := f"{key}-{n}" if n > 1 else key) not in taken
    )
    taken.add(new)
    return new
