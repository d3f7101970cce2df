"""Lines from a word processor or cells from a spreadsheet, as elements to be."""

from __future__ import annotations

from typing import Any

from rubric.definition.draft import Draft


def read_lines(text: str, draft: Draft) -> list[dict[str, Any]]:
    """An element for each line that says something; nothing is taken yet."""
    return [
        {"kind": "element", "fields": {"text": line.strip()}, "notes": []}
        for line in text.splitlines()
        if line.strip()
    ]
