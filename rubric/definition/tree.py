"""What a YAML or JSON file holds, with the line of every key and value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NoReturn

from rubric.faults import quoted


@dataclass(slots=True)
class Scalar:
    """A single value as written; `plain`: without quotes, so that it may be a number."""

    line: int
    text: str
    plain: bool


@dataclass(slots=True)
class Sequence:
    line: int
    items: list[Node]


@dataclass(slots=True)
class Mapping:
    """`entries` holds, by key, the line of the key and its value."""

    line: int
    entries: dict[str, tuple[int, Node]]


Node = Scalar | Sequence | Mapping

Tell = Callable[[int | None, str, str], None]
Stop = Callable[[int | None, str, str], NoReturn]

DEEPEST = 12  # lists and keys within each other; a rubric needs 6
MOST_VALUES = 20_000  # a rubric of 100 elements has about 1 000

NO_KEY = (0, "")  # the line and text of a key that is still to come


class Tree:
    """Grows from the top as a reader meets values; `root` is None until it meets one.

    A loop, not recursion, so that depth costs no stack. Both callbacks take line, what
    and allowed: `fault` hears of a key written twice, whose first value stays; `stop`
    raises where there are more values, or deeper ones, than any honest file has.
    """

    def __init__(self, fault: Tell, stop: Stop) -> None:
        self.root: Node | None = None
        self._fault = fault
        self._stop = stop
        self._values = 0
        self._open: list[Sequence | Mapping] = []
        self._keys: list[tuple[int, str]] = []

    @property
    def wants_key(self) -> bool:
        """Whether the next value is the key of a mapping."""
        return (
            bool(self._open)
            and self._keys[-1] == NO_KEY
            and isinstance(self._open[-1], Mapping)
        )

    def key(self, line: int, text: str) -> None:
        self._keys[-1] = (line, text)

    def scalar(self, line: int, text: str, plain: bool) -> None:
        self._place(Scalar(line, text, plain))

    def open(self, node: Sequence | Mapping) -> None:
        self._place(node)
        if len(self._open) == DEEPEST:
            what = f"lists and keys are more than {DEEPEST} deep within each other"
            self._stop(node.line, what, "")
        self._open.append(node)
        self._keys.append(NO_KEY)

    def close(self) -> None:
        self._open.pop()
        self._keys.pop()

    def _place(self, node: Node) -> None:
        self._values += 1
        if self._values > MOST_VALUES:
            what = f"the file holds more than {MOST_VALUES} values"
            self._stop(node.line, what, f"at most {MOST_VALUES}")
        if not self._open:
            self.root = node
            return
        parent = self._open[-1]
        if isinstance(parent, Sequence):
            parent.items.append(node)
            return
        line, text = self._keys[-1]
        self._keys[-1] = NO_KEY
        if text in parent.entries:
            first = parent.entries[text][0]
            self._fault(
                line,
                f"{quoted(text)} is written twice, first on line {first}",
                "each key once",
            )
        else:
            parent.entries[text] = (line, node)
