"""What is wrong with a file, said so that its author can mend it."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

SHOWN_CHARACTERS = 60
MOST_COMPARED = 8_000  # characters; comparing costs time, and hints are a courtesy

# Where in a rubric: ("sections", 0, "parts", 2), ("rules", 1), or () for the sheet.
Place = tuple[str | int, ...]


@dataclass(frozen=True)
class Fault:
    """One thing wrong in one place.

    `line` counts from 1 and is None where no line is to blame; `allowed` says what
    may stand there and is empty where nothing would help. A reader that knows which
    part of a rubric is to blame says so in `place`, and in `key` which of its keys.
    """

    file: str
    line: int | None
    what: str
    allowed: str = ""
    place: Place = ()
    key: str | None = None

    def __str__(self) -> str:
        place = _one_line(self.file)
        if self.line is not None:
            place += f":{self.line}"
        message = f"{place}: {_one_line(self.what)}"
        return (
            f"{message}; allowed: {_one_line(self.allowed)}"
            if self.allowed
            else message
        )


class Faults(Exception):  # noqa: N818 - plural, because it carries them all
    """Raised with every fault of a file at once, in the order of `faults`; never empty."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        if not self.faults:
            raise ValueError("Faults needs at least one Fault")
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


def quoted(text: str) -> str:
    """The file's own text for a message: in quotes, on one line, not too long."""
    shown = (
        text if len(text) <= SHOWN_CHARACTERS else text[: SHOWN_CHARACTERS - 3] + "..."
    )
    return f"'{_one_line(shown)}'"


def one_of(allowed: Iterable[str], instead_of: str = "") -> str:
    """The allowed words in their order, with the one nearest to `instead_of` pointed out."""
    words = list(allowed)
    near = nearest(words, instead_of) if len(words) > 1 else None
    return ", ".join(words) + (f" (nearest: {near})" if near else "")


def nearest(words: Iterable[str], word: str) -> str | None:
    """The one of the words that was probably meant, if any is alike."""
    known = list(words)
    if sum(map(len, known)) > MOST_COMPARED:
        return None
    near = difflib.get_close_matches(word[:SHOWN_CHARACTERS], known, n=1)
    return near[0] if near else None


def _one_line(text: str) -> str:
    """Whatever would break or blur a line (control characters, lone surrogates) escaped."""
    return "".join(
        character
        if character.isprintable()
        else character.encode("unicode_escape").decode()
        for character in text
    )
