"""Tables as CSV (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

# What a spreadsheet takes for the beginning of a formula, full-width signs included
# (OWASP, CSV Injection).
_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_PIECE = 64 * 1024  # characters of one piece of a stream


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A header and its rows with CRLF line ends; None is an empty cell.

    Text that a spreadsheet would run gets a leading apostrophe; numbers stay numbers.

    >>> csv_text(["element", "rate"], [["=1+1", -0.5], ["Apex, bell", None]])
    'element,rate\\r\\n\\'=1+1,-0.5\\r\\n"Apex, bell",\\r\\n'
    """
    return "".join(csv_stream(head, rows))


def csv_stream(head: Sequence[str], rows: Iterable[Sequence[object]]) -> Iterator[str]:
    """The same text in pieces, holding one piece at a time however many rows there are."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow([_guarded(cell) for cell in row])
        if out.tell() > _PIECE:
            yield out.getvalue()
            out.seek(0)
            out.truncate()
    yield out.getvalue()


def _guarded(cell: object) -> object:
    if isinstance(cell, str) and cell.startswith(_RUNS):
        return "'" + cell
    return cell
