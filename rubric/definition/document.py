"""A YAML or JSON file being read: its tree, and every fault found in it.

Nothing in a file is evaluated: tags, anchors and aliases are refused, and numbers
stay the text they were written as (`fields.py` makes exact Fractions of them).
"""

from __future__ import annotations

import re
from typing import NoReturn

from rubric.definition.syntax import read_json, read_yaml
from rubric.definition.tree import Node, Tree
from rubric.faults import Fault, Faults, Place

LARGEST_FILE = 500_000  # bytes; a rubric of 100 elements takes about 40 000
MOST_FAULTS = 200  # more than anyone mends in one sitting; bounds hostile files

# YAML 1.2 calls the rest printable; NEL and byte order marks are left out too.
_UNREADABLE = re.compile(
    "[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


class Document:
    """A file being read: its name, its tree in `root`, and the faults found so far.

    Making one raises Faults where there is no tree to go on with: too large, not
    UTF-8, empty, neither YAML nor JSON. Later faults gather in `fault`; `finish`
    raises them all, in the order of their lines.

        document = Document(data, "exam.yaml")
        top = Fields(document, document.root, "a rubric", required=("format",))
        ...
        document.finish()
    """

    def __init__(self, data: str | bytes, name: str) -> None:
        self.name = name
        self.faults: list[Fault] = []
        text = self._text(data)
        if not text.strip():
            self.stop(None, "the file is empty", "YAML or JSON")
        tree = Tree(self.fault, self.stop)
        if not read_json(text, tree):
            read_yaml(text, tree, self.stop)
        if tree.root is None:  # comments alone
            self.stop(None, "the file is empty", "YAML or JSON")
        self.root: Node = tree.root

    def fault(
        self,
        line: int | None,
        what: str,
        allowed: str = "",
        place: Place = (),
        key: str | None = None,
    ) -> None:
        """Remember a fault; from the 200th on there is no more looking for others."""
        self.faults.append(Fault(self.name, line, what, allowed, place, key))
        if len(self.faults) == MOST_FAULTS:
            self.stop(
                None, f"more than {MOST_FAULTS} faults, of which these are the first"
            )

    def stop(self, line: int | None, what: str, allowed: str = "") -> NoReturn:
        """Raise at once, with all found before: nothing after this can be read."""
        self.faults.append(Fault(self.name, line, what, allowed))
        raise Faults(self._in_order())

    def finish(self) -> None:
        """Raise Faults if there are any."""
        if self.faults:
            raise Faults(self._in_order())

    def _in_order(self) -> list[Fault]:
        return sorted(self.faults, key=lambda fault: fault.line or 0)

    def _text(self, data: str | bytes) -> str:
        if len(data) > LARGEST_FILE:
            self.stop(
                None, f"the file has {len(data)} bytes", f"at most {LARGEST_FILE}"
            )
        if isinstance(data, bytes):
            data = self._decoded(data)
        text = data.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
        if unreadable := _UNREADABLE.search(text):
            line = text.count("\n", 0, unreadable.start()) + 1
            self.stop(
                line,
                f"the character U+{ord(unreadable.group()):04X} cannot be read",
                "text without control characters",
            )
        return text

    def _decoded(self, data: bytes) -> str:
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError as error:
            line = data.count(b"\n", 0, error.start) + 1
            self.stop(
                line,
                f"the byte 0x{data[error.start]:02X} is not UTF-8",
                "text saved as UTF-8",
            )
