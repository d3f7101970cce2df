"""Reads what the desk sends: a save's changes, checked one by one against the edition."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from grading.forms.desk_values import Wrong, checked_value, comment_text
from grading.models.change import Proposed, Refusal
from grading.models.phrase import Phrase, PhraseUse
from rubric.definition import Definition

# A sheet with all its comments is some hundred changes; more is no desk.
MOST_CHANGES = 1000
LONGEST_PHRASE = 500
LONGEST_PLACE = 200
DAY = 86_400


class Unreadable(Exception):  # noqa: N818 (named as the claim it makes)
    """The save as a whole cannot be read; the message says where and what is allowed."""


@dataclass
class Save:
    """One save as it was sent. `invalid` changes are answered and block no other.

    `person` is who the desk believes is signed in, `version` the marking's last version
    that it knows.
    """

    person: int
    version: int
    changes: list[Proposed] = field(default_factory=list)
    invalid: list[Refusal] = field(default_factory=list)
    played: list[tuple[float, float]] = field(default_factory=list)


def read_save(body: bytes, definition: Definition) -> Save:
    """The save in a request's body. Raises Unreadable."""
    try:
        sent = json.loads(body, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise Unreadable("The save must be JSON.") from None
    if not isinstance(sent, dict):
        raise Unreadable("The save must be an object with person, version and changes.")
    changes = sent.get("changes", [])
    if not isinstance(changes, list) or len(changes) > MOST_CHANGES:
        raise Unreadable(f"changes must be a list of at most {MOST_CHANGES}.")
    save = Save(_whole(sent, "person"), _whole(sent, "version"))
    save.played = _spans(sent.get("played", []))
    for change in changes:
        try:
            save.changes.append(_change(change, definition))
        except Wrong as wrong:
            save.invalid.append(_refused(change, str(wrong)))
    return save


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is no number")


def _whole(sent: dict[str, Any], name: str) -> int:
    value = sent.get(name)
    if type(value) is not int or value < 0:
        raise Unreadable(f"{name} must be a whole number.")
    return value


def _spans(sent: object) -> list[tuple[float, float]]:
    """Played parts: pairs of seconds, each from an earlier to a later one."""
    if not isinstance(sent, list) or len(sent) > MOST_CHANGES:
        raise Unreadable(f"played must be a list of at most {MOST_CHANGES} spans.")
    spans = []
    for span in sent:
        if not (
            isinstance(span, list) and len(span) == 2 and all(map(_is_second, span))
        ):
            raise Unreadable("Each span of played must be [start, end] in seconds.")
        start, end = span
        if start > end:
            raise Unreadable("A span of played must not end before it starts.")
        spans.append((float(start), float(end)))
    return spans


def _is_second(value: object) -> bool:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return is_number and 0 <= value <= DAY  # type: ignore[operator] # seen above


def _change(sent: object, definition: Definition) -> Proposed:
    if not isinstance(sent, dict):
        raise Wrong("A change must be an object with id, target, after and value.")
    target = sent.get("target")
    if not isinstance(target, str):
        raise Wrong("target must be a text.")
    value = checked_value(target, sent.get("value"), definition)
    after = sent.get("after")
    return Proposed(
        _uuid("id", sent.get("id")),
        target,
        None if after is None else _uuid("after", after),
        value,
        _phrase(target, value, sent.get("phrase")),
    )


def _uuid(name: str, sent: object) -> UUID:
    if isinstance(sent, str) and len(sent) == 36:
        try:
            return UUID(sent)
        except ValueError:
            pass
    raise Wrong(f"{name} must be a UUID.")


def _phrase(
    target: str, value: dict[str, Any] | None, sent: object
) -> PhraseUse | None:
    """What the comment was made with: {"element", "state", "text"}."""
    if sent is None:
        return None
    if not target.startswith("comment:") or value is None:
        raise Wrong("Only a comment may come with a phrase.")
    if not isinstance(sent, dict):
        raise Wrong("phrase must be an object with element, state and text.")
    place = {name: sent.get(name, "") for name in ("element", "state")}
    if not all(
        isinstance(text, str) and len(text) <= LONGEST_PLACE for text in place.values()
    ):
        raise Wrong("A phrase's element and state must be short texts.")
    if value["element"] != place["element"] and place["element"]:
        raise Wrong("A phrase belongs to the comment's own element, or to none.")
    kind = sent.get("kind", value["kind"])
    if kind not in Phrase.Kind.values:
        raise Wrong(f"A phrase's kind must be one of {', '.join(Phrase.Kind.values)}.")
    return PhraseUse(
        place["element"],
        place["state"][:10],
        kind,
        comment_text(sent.get("text"), LONGEST_PHRASE),
    )


def _refused(sent: object, text: str) -> Refusal:
    """The answer to a change that cannot be taken: its id and target as they came."""
    told = sent if isinstance(sent, dict) else {}
    ident, target = (
        str(told.get(name, ""))[:LONGEST_PLACE] for name in ("id", "target")
    )
    return Refusal(ident, target, "invalid", text)
