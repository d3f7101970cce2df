"""The keys of a mapping, read one typed value at a time; what is wrong becomes a fault.

Every method takes the value to give where the key is absent or faulty, so that
reading goes on and all faults come at once. Whether a key may be absent is said once,
in `required` and `optional`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import TypeVar

from rubric.definition.document import Document
from rubric.definition.tree import Mapping, Node, Scalar, Sequence
from rubric.faults import Place, one_of, quoted

LONGEST_LINE = 200  # characters of a title, a key, a word
LONGEST_TEXT = 2000  # characters of any other text
MOST_PLACES = 20  # decimal places; more than a program writes for a time or a third

CONTROL = "\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff"

_CONTROL = re.compile(f"[{CONTROL}]")
_NUMBER = re.compile(
    r"-?(?:0|[1-9][0-9]{0,19})(?:\.[0-9]{1,40})?(?:[eE][-+]?[0-9]{1,2})?"
)
_LOOKS_LIKE_A_NUMBER = re.compile(r"[-+]?[.0-9][.0-9a-fA-FoxE+-]*")
# What YAML 1.2's core schema (section 10.3.2) takes for something else than text.
_NOT_TEXT = re.compile(
    r"~|null|Null|NULL||true|True|TRUE|false|False|FALSE"
    r"|[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+"
    r"|[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?"
    r"|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"
)
_TEXT_IN_QUOTES = "text, in quotes where it looks like a number, true or false"
_EMPTY = ("", "~", "null", "Null", "NULL")

T = TypeVar("T")


class Fields:
    """The keys and values of one mapping of a document.

        mark = Fields(document, node, "a mark", ("element", "state"), ("at",))
        state = mark.word("state", State, default=State.UNSEEN)
        at = mark.number("at", 0, 86400, default=None)     # a Fraction or None

    `what` names the mapping in messages; `place` says which part of a rubric it is,
    and `under` by which key of that part it is written, where it is no part itself.
    Unknown and missing keys are faults at once.
    """

    def __init__(
        self,
        document: Document,
        node: Node,
        what: str,
        required: tuple[str, ...] = (),
        optional: tuple[str, ...] = (),
        place: Place = (),
        under: str | None = None,
    ) -> None:
        self._document = document
        self.place = place
        self._under = under
        self._line = node.line
        self._required = required
        self._entries = node.entries if isinstance(node, Mapping) else {}
        known = (*required, *optional)
        if not isinstance(node, Mapping):
            needed = f"the keys {', '.join(known)}"
            self._tell(node.line, None, f"{what} is {shown(node)}", needed)
            return
        for key, (line, _) in node.entries.items():
            if key not in known:
                unknown = f"{what} has the unknown key {quoted(key)}"
                self._tell(line, key, unknown, one_of(known, key))
        for key in required:
            if key not in node.entries:
                needed = f"{', '.join(required)} (all needed)"
                lacks = f"{what} lacks the key '{key}'"
                self._tell(node.line, key, lacks, needed)

    def __contains__(self, key: str) -> bool:
        """Whether the key is written, be its value right or wrong."""
        return key in self._entries

    def line(self, key: str | None = None, position: int | None = None) -> int:
        """Where the key is written, or an item of its list (counted from 0).

        The first line of the mapping where the key is not written, or for None.
        """
        if key not in self._entries:
            return self._line
        line, node = self._entries[key]
        if position is not None and isinstance(node, Sequence):
            return node.items[position].line
        return line

    def fault(self, key: str | None, what: str, allowed: str = "") -> None:
        """A fault of the key's value, or of the whole mapping."""
        self._tell(self.line(key), key, what, allowed)

    def text(
        self, key: str, default: T, longest: int = LONGEST_TEXT, lines: bool = False
    ) -> str | T:
        """Text without the white space around it; over several lines only where `lines`.

        Text of no characters is a fault of a required key, and as good as absent else.
        """
        node = self.node(key)
        text = None
        if node is not None:
            text = self._text(key, key, self.line(key), node, longest, lines)
        if text == "" and key in self._required:
            self.fault(key, f"{key} is empty", "text")
        return text or default

    def word(self, key: str, allowed: Iterable[str], default: T) -> str | T:
        """One of the allowed words."""
        node = self.node(key)
        if node is None:
            return default
        words = [str(word) for word in allowed]
        text = node.text if isinstance(node, Scalar) else ""
        if text in words:
            return text
        self.fault(key, f"{key} is {shown(node)}", one_of(words, text))
        return default

    def truth(self, key: str, default: T) -> bool | T:
        """True or false, not in quotes; never yes, on or 1."""
        node = self.node(key)
        if node is None:
            return default
        if isinstance(node, Scalar) and node.plain and node.text in ("true", "false"):
            return node.text == "true"
        self.fault(key, f"{key} is {shown(node)}", "true or false")
        return default

    def number(self, key: str, low: int, high: int, default: T) -> Fraction | T:
        """The number exactly as written, from low to high."""
        value = self._number(key, low, high, f"a number from {low} to {high}")
        return default if value is None else value

    def whole(self, key: str, low: int, high: int, default: T) -> int | T:
        """A whole number from low to high; 3.0 is one."""
        allowed = f"a whole number from {low} to {high}"
        value = self._number(key, low, high, allowed)
        if value is None:
            return default
        if value.denominator != 1:
            self.fault(key, f"{key} is {shown(self._entries[key][1])}", allowed)
            return default
        return int(value)

    def texts(
        self,
        key: str,
        least: int,
        most: int,
        valid: Callable[[str], bool] = bool,
        allowed: str = "text",
    ) -> tuple[str, ...]:
        """A list of different one-line texts; empty where it is absent or not whole.

        Each is to be `valid`; `allowed` tells the author what that is.
        """
        texts: list[str] = []
        nodes = self.items(key, least, most)
        for node in nodes:
            name = f"an item in '{key}'"
            text = self._text(key, name, node.line, node, LONGEST_LINE, False)
            if text in texts:
                what = f"{key} holds {quoted(text)} twice"
                self._tell(node.line, key, what, "each item once")
            elif text is not None and not valid(text):
                what = f"an item in '{key}' is {quoted(text)}"
                self._tell(node.line, key, what, allowed)
            elif text is not None:
                texts.append(text)
        return tuple(texts) if len(texts) == len(nodes) else ()

    def items(self, key: str, least: int, most: int) -> list[Node]:
        """The values of a list of `least` to `most`; none where it is absent or faulty."""
        node = self.node(key)
        if node is None:
            return []
        allowed = (
            f"a list of {least} to {most} items"
            if least
            else f"a list of at most {most} items"
        )
        if not isinstance(node, Sequence):
            self.fault(key, f"{key} is {shown(node)}", allowed)
            return []
        if not least <= len(node.items) <= most:
            self.fault(key, f"{key} is a list of length {len(node.items)}", allowed)
            return []
        return node.items

    def group(
        self, key: str, required: tuple[str, ...], optional: tuple[str, ...] = ()
    ) -> Fields:
        """The keys written under the key, which has to be there."""
        node = self._entries[key][1]
        under = self._under or key
        return Fields(self._document, node, key, required, optional, self.place, under)

    def node(self, key: str) -> Node | None:
        """The value as the file has it, for what comes in more than one form."""
        return self._entries[key][1] if key in self._entries else None

    def _tell(self, line: int, key: str | None, what: str, allowed: str) -> None:
        self._document.fault(line, what, allowed, self.place, self._under or key)

    def _number(self, key: str, low: int, high: int, allowed: str) -> Fraction | None:
        node = self.node(key)
        if node is None:
            return None
        value = None
        if isinstance(node, Scalar) and node.plain and _NUMBER.fullmatch(node.text):
            value = Fraction(node.text)
        if value is None or not low <= value <= high:
            if value is None and _LOOKS_LIKE_A_NUMBER.fullmatch(shown(node)):
                allowed += ", in plain decimals"
            self.fault(key, f"{key} is {shown(node)}", allowed)
            return None
        if 10**MOST_PLACES % value.denominator:
            places = f"at most {MOST_PLACES} decimal places"
            self.fault(key, f"{key} is {shown(node)}", places)
            return None
        return value

    def _text(
        self, key: str, name: str, line: int, node: Node, longest: int, lines: bool
    ) -> str | None:
        """The text, or None after a fault."""
        if not isinstance(node, Scalar):
            self._tell(line, key, f"{name} is {shown(node)}", "text")
            return None
        text = node.text.strip()
        wrong = None
        if node.plain and not reads_as_text(node.text):
            empty = shown(node) == "empty"
            wrong = f"is {shown(node)}", "text" if empty else _TEXT_IN_QUOTES
        elif len(node.text) > longest:
            wrong = f"has {len(node.text)} characters", f"at most {longest}"
        elif control := _CONTROL.search(node.text):
            code = f"U+{ord(control.group()):04X}"
            wrong = f"holds the character {code}", "text without control characters"
        elif "\n" in text and not lines:
            wrong = "runs over several lines", "one line"
        if wrong:
            self._tell(line, key, f"{name} {wrong[0]}", wrong[1])
            return None
        return text


def reads_as_text(text: str) -> bool:
    """Whether YAML takes the text, without quotes, for text."""
    return not _NOT_TEXT.fullmatch(text)


def shown(node: Node) -> str:
    """What stands in the file, for a message: '2' is a text where 2 is a number."""
    if isinstance(node, Mapping):
        return "a group of keys"
    if isinstance(node, Sequence):
        return "a list"
    if reads_as_text(node.text):
        return quoted(node.text)
    if not node.plain:
        return f"the text {quoted(node.text)}"
    return "empty" if node.text in _EMPTY else quoted(node.text)[1:-1]
