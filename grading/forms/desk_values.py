"""What each target of a marking may hold, and what is wrong with what it was sent."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any
from uuid import UUID

from grading.models.phrase import Phrase
from rubric.definition import Definition, Element, State
from rubric.definition.fields import CONTROL

LONGEST_RECORDING = 86_400  # a day in seconds: more is a slip of the hand
LONGEST_TEXT = 4000
LONGEST_REASON = 500
# A marks file takes no control characters, and a release must read back as it is.
_NO_SIGN = re.compile(f"[{CONTROL}]")
FASTEST = 16  # the fastest that any browser plays

RULINGS = ("met", "violated", "cannot_tell")

Value = dict[str, Any]


class Wrong(Exception):  # noqa: N818 (named as the claim it makes)
    """A value does not fit; the message says what is wrong and what is allowed."""


def checked_value(target: str, sent: object, definition: Definition) -> Value | None:
    """The value for this target with every name of its kind set; None takes back.

    Raises Wrong.
    """
    kind, _, name = target.partition(":")
    reader = _READERS.get(kind)
    if reader is None or bool(name) != (kind in _NAMED):
        raise Wrong(f"There is no target {target[:80]!r}.")
    subject = _NAMED[kind](name, definition) if name else None
    if sent is None:
        return None
    if not isinstance(sent, dict):
        raise Wrong("value must be an object or null.")
    allowed = _NAMES[kind]
    if unknown := sorted(set(sent) - set(allowed)):
        raise Wrong(
            f"A value of {kind} has no {unknown[0][:40]!r}, only {', '.join(allowed)}."
        )
    return reader(sent, subject, definition)


def _one_of(what: str, value: object, allowed: tuple[str, ...]) -> str:
    if isinstance(value, str) and value in allowed:
        return value
    raise Wrong(f"{what} must be one of {', '.join(allowed)}, but is {_said(value)}.")


def _said(value: object) -> str:
    return "missing" if value is None else repr(value)[:40]


def _number(what: str, value: object, low: float, high: float) -> float | None:
    """A number to the millisecond, or None."""
    if value is None:
        return None
    if (
        isinstance(value, bool)
        or not isinstance(value, int | float)
        or not low <= value <= high
    ):
        raise Wrong(f"{what} must be {low:g} to {high:g}, but is {_said(value)}.")
    return round(float(value), 3)


def _whole(what: str, value: object, high: int) -> int:
    if type(value) is int and 1 <= value <= high:
        return value
    raise Wrong(f"{what} must be a whole number, 1 to {high}, but is {_said(value)}.")


def _moment(what: str, value: object) -> float | None:
    return _number(what, value, 0, LONGEST_RECORDING)


def _text(what: str, value: object, longest: int) -> str:
    """Without the signs that no keyboard types and no marks file takes (controls, halves)."""
    if value is None:
        return ""
    if not isinstance(value, str):
        raise Wrong(f"{what} must be a text.")
    text = _NO_SIGN.sub(" ", value).strip()
    if len(text) > longest:
        raise Wrong(f"{what} must be at most {longest} signs, but has {len(text)}.")
    return text


def comment_text(value: object, longest: int = LONGEST_TEXT) -> str:
    """A comment's or phrase's words. Raises Wrong where there are none, or too many."""
    text = _text("text", value, longest)
    if not text:
        raise Wrong("A comment must say something.")
    return text


def _element(key: str, definition: Definition) -> Element:
    index = definition.index.get(key)
    if index is None:
        raise Wrong(f"The edition has no element {key[:80]!r}.")
    return definition.elements[index]


def _ident(name: str, definition: Definition) -> str:
    try:
        if str(UUID(name)) == name:
            return name
    except ValueError:
        pass
    raise Wrong("A comment or sighting is named by a UUID in lower case.")


def _ruled_on(key: str, definition: Definition) -> str:
    if any(rule.key == key and rule.kind == "before" for rule in definition.rules):
        return key
    raise Wrong(f"The edition has no rule {key[:80]!r} of kind before.")


def _read_element(sent: Value, element: Element, definition: Definition) -> Value:
    states = (State.LEVEL, State.UNSEEN, State.EXCUSED) if element.levels else _PLAIN
    state = _one_of("state", sent.get("state"), tuple(state.value for state in states))
    value: Value = {
        "state": state,
        "at": _moment("at", sent.get("at")),
        "speed": _number("speed", sent.get("speed"), 0.1, FASTEST),
    }
    if state == State.LEVEL:
        value["level"] = _whole("level", sent.get("level"), len(element.levels))
    elif sent.get("level") is not None:
        raise Wrong("Only the state level has a level.")
    reason = _text("reason", sent.get("reason"), LONGEST_REASON)
    if state == State.EXCUSED:
        if not reason:
            raise Wrong("Excused needs a reason.")
        value["reason"] = reason
    elif reason:
        raise Wrong("Only the state excused has a reason.")
    return value


def _read_comment(sent: Value, subject: str, definition: Definition) -> Value:
    element = sent.get("element")
    if element is not None:
        if not isinstance(element, str):
            raise Wrong("element must be a key of the edition or null.")
        _element(element, definition)
    return {
        "element": element,
        "at": _moment("at", sent.get("at")),
        "kind": _one_of("kind", sent.get("kind"), tuple(Phrase.Kind.values)),
        "text": comment_text(sent.get("text")),
    }


def _read_sighting(sent: Value, subject: str, definition: Definition) -> Value:
    hazards = tuple(rule.key for rule in definition.rules if rule.kind == "hazard")
    return {
        "rule": _one_of("rule", sent.get("rule"), hazards),
        "at": _moment("at", sent.get("at")),
        "speed": _number("speed", sent.get("speed"), 0.1, FASTEST),
    }


def _read_ruling(sent: Value, subject: str, definition: Definition) -> Value:
    return {
        "result": _one_of("result", sent.get("result"), RULINGS),
        "note": _text("note", sent.get("note"), LONGEST_TEXT),
    }


def _read_rating(sent: Value, subject: None, definition: Definition) -> Value:
    if definition.global_rating is None:
        raise Wrong("The edition asks for no global rating.")
    words = definition.global_rating.words
    return {"value": _whole("value", sent.get("value"), len(words))}


def _read_start(sent: Value, subject: None, definition: Definition) -> Value:
    return {"at": _moment("at", sent.get("at")) or 0.0}


def _read_length(sent: Value, subject: None, definition: Definition) -> Value:
    seconds = _moment("seconds", sent.get("seconds"))
    if not seconds:
        raise Wrong("seconds must be more than 0.")
    return {"seconds": seconds}


_PLAIN = tuple(state for state in State if state is not State.LEVEL)

_READERS: dict[str, Callable[[Value, Any, Definition], Value]] = {
    "element": _read_element,
    "comment": _read_comment,
    "sighting": _read_sighting,
    "ruling": _read_ruling,
    "rating": _read_rating,
    "start": _read_start,
    "length": _read_length,
}
# Kinds of which there are several, and what finds the one that is named.
_NAMED: dict[str, Callable[[str, Definition], object]] = {
    "element": _element,
    "comment": _ident,
    "sighting": _ident,
    "ruling": _ruled_on,
}
_NAMES = {
    "element": ("state", "at", "level", "reason", "speed"),
    "comment": ("element", "at", "kind", "text"),
    "sighting": ("rule", "at", "speed"),
    "ruling": ("result", "note"),
    "rating": ("value",),
    "start": ("at",),
    "length": ("seconds",),
}
