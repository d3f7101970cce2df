"""Tables as CSV (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

# What a spreadsheet takes for the beginning of a formula, full-width signs included
# (OWASP, CSV Injection).
_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A header and its rows with CRLF line ends; None is an empty cell.

    Text that a spreadsheet would run gets a leading apostrophe; numbers stay numbers.

    >>> csv_text(["element", "rate"], [["=1+1", -0.5], ["Apex, bell", None]])
    'element,rate\\r\\n\\'=1+1,-0.5\\r\\n"Apex, bell",\\r\\n'
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([_guarded(cell) for cell in row] for row in rows)
    return out.getvalue()


def _guarded(cell: object) -> object:
    if isinstance(cell, str) and cell.startswith(_RUNS):
        return "'" + cell
    return cell
