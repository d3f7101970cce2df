"""A marks file (format bellside-marks/1, JSON) into a Sheet, or every fault of it at once."""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar, get_args

from grading.scoring.sheet import Mark, Ruling, RulingResult, Sheet, Sighting
from grading.scoring.shown import exactly
from rubric.definition.document import LARGEST_FILE, Document
from rubric.definition.fields import LONGEST_LINE, Fields
from rubric.definition.tree import Node, Scalar
from rubric.definition.values import Definition, Element, State
from rubric.faults import Fault, Faults, nearest, one_of, quoted

FORMAT = "bellside-marks/1"
LONGEST_RECORDING = 24 * 60 * 60  # seconds; also bounds hostile numbers
MOST_EXTRA_MINUTES = 24 * 60
MOST_ENTRIES = 10_000  # of each list
STATES_WITHOUT_LEVELS = tuple(state for state in State if state is not State.LEVEL)
STATES_WITH_LEVELS = (State.LEVEL, State.UNSEEN, State.EXCUSED)
RESULTS: tuple[RulingResult, ...] = get_args(RulingResult)

T = TypeVar("T")


def read_marks(text: str | bytes, name: str, definition: Definition) -> Sheet:
    """The sheet that a marks file says; `name` is the file's, for messages.

    Raises Faults with every fault of the file, each with its line. A null is as
    good as a key left out, where it may be left out.
    """
    _refuse_what_is_not_json(text, name)
    document = Document(text, name)
    sheet = _Reader(document, definition).sheet()
    document.finish()
    return sheet


def _refuse_what_is_not_json(text: str | bytes, name: str) -> None:
    """The document's own reader takes YAML too; a marks file is JSON alone."""
    if len(text) > LARGEST_FILE or not text.strip():
        return
    try:
        plain = text.decode("utf-8") if isinstance(text, bytes) else text
        json.loads(plain.removeprefix("\ufeff"), parse_int=str)
    except json.JSONDecodeError as error:
        what = f"not JSON: {error.msg} (column {error.colno})"
        raise Faults([Fault(name, error.lineno, what)]) from None
    except (UnicodeDecodeError, RecursionError):
        return  # the document says what and where


class _Reader:
    """Reads one document against its rubric; faults gather in the document."""

    def __init__(self, document: Document, definition: Definition) -> None:
        self._document = document
        self._elements = {element.key: element for element in definition.elements}
        self._rules = {rule.key: rule.kind for rule in definition.rules}
        self._rating = definition.global_rating
        self._length: Fraction | None = None

    def sheet(self) -> Sheet:
        top = Fields(
            self._document,
            self._document.root,
            "a marks file",
            ("format", "marks"),
            (
                "length_seconds",
                "start_at",
                "extra_minutes",
                "global_rating",
                "hazards",
                "rulings",
            ),
        )
        top.word("format", [FORMAT], default=None)
        self._length = _number(top, "length_seconds", LONGEST_RECORDING)
        extra = _number(top, "extra_minutes", MOST_EXTRA_MINUTES)
        return Sheet(
            marks=self._all(top, "marks", self._mark),
            hazards=self._all(top, "hazards", self._sighting),
            rulings=self._all(top, "rulings", self._ruling),
            global_rating=self._global_rating(top),
            length_seconds=_decimal(self._length),
            start_at=self._moment(top, "start_at") or Decimal(0),
            extra_minutes=_decimal(extra) or Decimal(0),
        )

    def _all(
        self, top: Fields, key: str, read: Callable[[Node, dict[str, int]], T | None]
    ) -> tuple[T, ...]:
        """Every item of a list that could be read; `read` gets the lines of keys so far."""
        lines: dict[str, int] = {}
        items = (read(node, lines) for node in top.items(key, 0, MOST_ENTRIES))
        return tuple(item for item in items if item is not None)

    def _mark(self, node: Node, lines: dict[str, int]) -> Mark | None:
        mark = Fields(
            self._document,
            node,
            "a mark",
            ("element", "state"),
            ("at", "level", "reason"),
        )
        element = self._element(mark)
        if element is not None:
            _refuse_twice(mark, "element", element.key, lines, "marked")
        state = _state(mark, element)
        level = _level(mark, element, state)
        at = self._moment(mark, "at")
        reason = _words(mark, "reason")
        if state is State.EXCUSED and _is_blank(mark.node("reason")):
            mark.fault("state", "an excused mark has no reason", "a reason, in words")
        if element is None or state is None:
            return None
        return Mark(element.key, state, at, level, reason)

    def _element(self, mark: Fields) -> Element | None:
        key = mark.text("element", None, LONGEST_LINE)
        if key is None:
            return None
        if key not in self._elements:
            near = nearest(self._elements, key)
            allowed = "the key of an element" + (f" (nearest: {near})" if near else "")
            mark.fault("element", f"the rubric has no element {quoted(key)}", allowed)
        return self._elements.get(key)

    def _sighting(self, node: Node, _: dict[str, int]) -> Sighting | None:
        sighting = Fields(
            self._document, node, "a hazard", ("rule",), ("at", "confirmed")
        )
        rule = self._rule(sighting, "hazard")
        at = self._moment(sighting, "at")
        confirmed = sighting.truth("confirmed", True)
        return None if rule is None else Sighting(rule, at, confirmed)

    def _ruling(self, node: Node, lines: dict[str, int]) -> Ruling | None:
        ruling = Fields(self._document, node, "a ruling", ("rule", "result"), ("note",))
        rule = self._rule(ruling, "before")
        if rule is not None:
            _refuse_twice(ruling, "rule", rule, lines, "ruled on")
        word = ruling.word("result", RESULTS, None)
        note = _words(ruling, "note")
        if rule is None or word is None:
            return None
        return Ruling(rule, next(result for result in RESULTS if result == word), note)

    def _rule(self, fields: Fields, kind: str) -> str | None:
        key = fields.text("rule", None, LONGEST_LINE)
        if key is None or self._rules.get(key) == kind:
            return key
        allowed = [rule for rule, its_kind in self._rules.items() if its_kind == kind]
        what = f"the rubric has no rule {quoted(key)}"
        if key in self._rules:
            what = f"{quoted(key)} is a rule of kind {self._rules[key]}"
        fields.fault(
            "rule",
            what,
            one_of(allowed, key) if allowed else f"none: the rubric has no {kind} rule",
        )
        return None

    def _moment(self, fields: Fields, key: str) -> Decimal | None:
        """Seconds into the recording."""
        at = _number(fields, key, LONGEST_RECORDING)
        if at is not None and self._length is not None and at > self._length:
            fields.fault(
                key,
                f"{key} is {exactly(at)}, beyond the end of the recording",
                f"at most {exactly(self._length)}",
            )
        return _decimal(at)

    def _global_rating(self, top: Fields) -> int | None:
        if _is_null(top, "global_rating"):
            return None
        if self._rating is None:
            if "global_rating" in top:
                what = "global_rating is given, but the rubric asks for none"
                top.fault("global_rating", what)
            return None
        return top.whole("global_rating", 1, len(self._rating.words), None)


def _state(mark: Fields, element: Element | None) -> State | None:
    word = mark.word("state", State, None)
    if word is None:
        return None
    state = State(word)
    if element is not None:
        allowed = STATES_WITH_LEVELS if element.levels else STATES_WITHOUT_LEVELS
        if state not in allowed:
            has = "has levels" if element.levels else "has no levels"
            what = f"state is {quoted(word)}, but {quoted(element.key)} {has}"
            mark.fault("state", what, one_of(allowed))
    return state


def _level(mark: Fields, element: Element | None, state: State | None) -> int | None:
    if state is State.LEVEL and element is not None and element.levels:
        if "level" not in mark:
            allowed = f"a whole number from 1 to {len(element.levels)}"
            mark.fault(
                "state", "state is 'level', but the key 'level' is missing", allowed
            )
        return mark.whole("level", 1, len(element.levels), None)
    given = "level" in mark and not _is_null(mark, "level")
    if given and state not in (None, State.LEVEL):
        what = f"level is given, but state is {quoted(str(state))}"
        mark.fault("level", what, "level only where state is level")
    return None


def _refuse_twice(
    fields: Fields, name: str, key: str, lines: dict[str, int], done: str
) -> None:
    if key in lines:
        what = f"{quoted(key)} is {done} twice, first on line {lines[key]}"
        fields.fault(name, what, f"each {name} once")
    lines.setdefault(key, fields.line(name))


def _number(fields: Fields, key: str, high: int) -> Fraction | None:
    return None if _is_null(fields, key) else fields.number(key, 0, high, None)


def _words(fields: Fields, key: str) -> str:
    return "" if _is_null(fields, key) else fields.text(key, "", lines=True)


def _is_null(fields: Fields, key: str) -> bool:
    node = fields.node(key)
    return isinstance(node, Scalar) and node.plain and node.text == "null"


def _is_blank(node: Node | None) -> bool:
    if node is None:
        return True
    return isinstance(node, Scalar) and (
        not node.text.strip() or (node.plain and node.text == "null")
    )


def _decimal(value: Fraction | None) -> Decimal | None:
    return None if value is None else Decimal(exactly(value))
