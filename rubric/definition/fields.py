"""Reads the keys of a mapping, one typed value at a time; what is wrong becomes a fault.

Every method takes the value to give where the key is absent or faulty, so that
reading goes on and all faults come at once. Whether a key may be absent is said once,
in `required` and `optional`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import TypeVar

from rubric.definition.document import Document
from rubric.definition.tree import Mapping, Node, Scalar, Sequence
from rubric.faults import one_of, quoted

LONGEST_LINE = 200  # characters in a title, a key, a word
LONGEST_TEXT = 2000  # characters in a text
MOST_PLACES = 20  # decimal places: what a program writes for a time or 1/3

_NUMBER = re.compile(
    r"-?(?:0|[1-9][0-9]{0,19})(?:\.[0-9]{1,40})?(?:[eE][-+]?[0-9]{1,2})?"
)
# The core schema of YAML 1.2 (section 10.3.2): what an unquoted value means.
_NOT_TEXT = re.compile(
    r"~|null|Null|NULL||true|True|TRUE|false|False|FALSE"
    r"|[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+"
    r"|[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?"
    r"|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"
)
_EMPTY = ("", "~", "null", "Null", "NULL")
_CONTROL = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]"
)

T = TypeVar("T")


class Fields:
    """The keys and values of one mapping of a document.

        mark = Fields(document, node, "a mark", required=("element", "state"), optional=("at",))
        state = mark.word("state", list(State), default=None)
        at = mark.number("at", 0, 86400, default=None)     # Fraction or None

    `what` names the mapping in messages. Unknown and missing keys are faults at once.
    """

    def __init__(
        self,
        document: Document,
        node: Node,
        what: str,
        required: tuple[str, ...] = (),
        optional: tuple[str, ...] = (),
    ) -> None:
        self._document = document
        self._what = what
        self._line = node.line
        self._entries = node.entries if isinstance(node, Mapping) else {}
        if not isinstance(node, Mapping):
            self._document.fault(
                node.line, f"{what} is {shown(node)}", f"the keys {', '.join(required)}"
            )
            return
        known = (*required, *optional)
        for key, (line, _) in node.entries.items():
            if key not in known:
                document.fault(
                    line,
                    f"{what} has the unknown key {quoted(key)}",
                    one_of(known, key),
                )
        for key in required:
            if key not in node.entries:
                document.fault(
                    node.line,
                    f"{what} lacks the key {quoted(key)}",
                    f"{', '.join(required)} are all needed",
                )

    def __contains__(self, key: str) -> bool:
        """Whether the key is written, be its value right or wrong."""
        return key in self._entries

    def line(self, key: str | None = None) -> int:
        """Where the key is written; the mapping's first line where it is not, or for None."""
        return self._entries[key][0] if key in self._entries else self._line

    def fault(self, key: str | None, what: str, allowed: str = "") -> None:
        self._document.fault(self.line(key), what, allowed)

    def text(
        self, key: str, default: T, longest: int = LONGEST_TEXT, lines: bool = False
    ) -> str | T:
        """Text without the white space around it, over several lines only where `lines`.

        Text of no characters is a fault, unless it is the default.
        """
        node = self.node(key)
        if node is None:
            return default
        text = self._text(key, self.line(key), node, longest, lines)
        if text == "" != default:
            self.fault(key, f"{key} is empty", "text")
        return text or default

    def word(self, key: str, allowed: Iterable[str], default: T) -> str | T:
        """One of the allowed words."""
        node = self.node(key)
        if node is None:
            return default
        words = [str(word) for word in allowed]
        if isinstance(node, Scalar) and node.text in words:
            return node.text
        near = node.text if isinstance(node, Scalar) else ""
        self.fault(key, f"{key} is {shown(node)}", one_of(words, near))
        return default

    def truth(self, key: str, default: T) -> bool | T:
        """True or false, unquoted; never yes, on or 1."""
        node = self.node(key)
        if node is None:
            return default
        if isinstance(node, Scalar) and node.plain and node.text in ("true", "false"):
            return node.text == "true"
        self.fault(key, f"{key} is {shown(node)}", "true or false")
        return default

    def number(self, key: str, low: int, high: int, default: T) -> Fraction | T:
        """The number exactly as written, from low to high."""
        return self._number(key, low, high, default, f"a number from {low} to {high}")

    def whole(self, key: str, low: int, high: int, default: T) -> int | T:
        """A whole number from low to high; 3.0 is one."""
        allowed = f"a whole number from {low} to {high}"
        value = self._number(key, low, high, None, allowed)
        if value is None:
            return default
        if value.denominator != 1:
            self.fault(key, f"{key} is {shown(self._entries[key][1])}", allowed)
            return default
        return int(value)

    def texts(
        self, key: str, least: int, most: int, longest: int = LONGEST_LINE
    ) -> tuple[str, ...]:
        """A list of different one-line texts; empty where it is absent or anything in it is faulty."""
        texts: list[str] = []
        nodes = self.items(key, least, most)
        for node in nodes:
            text = self._text(
                f"an item of {key}", node.line, node, longest, lines=False
            )
            if text == "":
                self._document.fault(node.line, f"an item of {key} is empty", "text")
            elif text in texts:
                self._document.fault(
                    node.line, f"{key} holds {quoted(text)} twice", "each item once"
                )
            elif text is not None:
                texts.append(text)
        return tuple(texts) if len(texts) == len(nodes) else ()

    def items(self, key: str, least: int, most: int) -> list[Node]:
        """The nodes of a list of `least` to `most` items; empty where it is absent or faulty."""
        node = self.node(key)
        if node is None:
            return []
        allowed = f"a list of {least} to {most} items"
        if not isinstance(node, Sequence):
            self.fault(key, f"{key} is {shown(node)}", allowed)
            return []
        if not least <= len(node.items) <= most:
            self.fault(key, f"{key} is a list of {len(node.items)} items", allowed)
            return []
        return node.items

    def node(self, key: str) -> Node | None:
        """The value as the file has it, for what comes in more than one form."""
        return self._entries[key][1] if key in self._entries else None

    def _number(
        self, key: str, low: int, high: int, default: T, allowed: str
    ) -> Fraction | T:
        node = self.node(key)
        if node is None:
            return default
        if not (
            isinstance(node, Scalar) and node.plain and _NUMBER.fullmatch(node.text)
        ):
            self.fault(key, f"{key} is {shown(node)}", allowed)
            return default
        value = Fraction(node.text)
        if not low <= value <= high:
            self.fault(key, f"{key} is {shown(node)}", allowed)
            return default
        if 10**MOST_PLACES % value.denominator:
            self.fault(
                key, f"{key} is {shown(node)}", f"at most {MOST_PLACES} decimal places"
            )
            return default
        return value

    def _text(
        self, name: str, line: int, node: Node, longest: int, lines: bool
    ) -> str | None:
        """The text, or None after a fault."""
        text = node.text.strip() if isinstance(node, Scalar) else ""
        what, allowed = "", ""
        if not isinstance(node, Scalar):
            what, allowed = f"is {shown(node)}", "text"
        elif node.plain and _NOT_TEXT.fullmatch(node.text):
            what, allowed = (
                f"is {shown(node)}",
                "text, in quotes if it looks like a number or true or false",
            )
        elif len(text) > longest:
            what, allowed = f"has {len(text)} characters", f"at most {longest}"
        elif control := _CONTROL.search(text):
            what, allowed = (
                f"holds the character U+{ord(control.group()):04X}",
                "text without control characters",
            )
        elif "\n" in text and not lines:
            what, allowed = "runs over several lines", "one line"
        if what:
            self._document.fault(line, f"{name} {what}", allowed)
            return None
        return text


def shown(node: Node) -> str:
    """What stands in the file, for a message: '2' is a text where 2 is a number."""
    if isinstance(node, Mapping):
        return "a group of keys"
    if isinstance(node, Sequence):
        return "a list"
    if node.plain and node.text in _EMPTY:
        return "empty"
    unquoted = _NOT_TEXT.fullmatch(node.text)
    if node.plain and unquoted:
        return quoted(node.text)[1:-1]
    return f"the text {quoted(node.text)}" if unquoted else quoted(node.text)
