"""The rules of a rubric, as written in a file."""

from __future__ import annotations

from fractions import Fraction
from typing import cast

from rubric.definition.document import Document
from rubric.definition.fields import Fields
from rubric.definition.grids import AXES
from rubric.definition.parts import read_effect, read_key
from rubric.definition.selectors import ALLOWED_SELECTOR, is_selector
from rubric.definition.tree import Mapping, Node, Scalar
from rubric.definition.values import AtLeast, Axis, Before, Effect, Hazard, Rule, Within
from rubric.faults import Place

MOST_SELECTORS = 100
MOST_SECONDS = 3600
MOST_MINUTES = 24 * 60

_EVERY = ("key", "kind", "effect", "text")
# The keys of each kind: those it needs, and those it may have.
_KINDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "at_least": (("count", "of"), ()),
    "before": (("first", "then"), ("per", "slack_seconds")),
    "hazard": ((), ()),
    "within": (("minutes",), ()),
}


def read_rule(document: Document, node: Node, place: Place) -> tuple[Fields, Rule]:
    """A rule; one of unknown kind is read for its key alone and stands as a hazard."""
    kind = _kind(node)
    if kind is None:
        every = tuple(key for keys in _KINDS.values() for key in (*keys[0], *keys[1]))
        fields = Fields(document, node, "a rule", _EVERY, every, place)
        fields.word("kind", _KINDS, default=None)
    else:
        required, optional = _KINDS[kind]
        what = f"a rule of kind {kind}"
        fields = Fields(document, node, what, (*_EVERY, *required), optional, place)
    key, text = read_key(fields), fields.text("text", "")
    effect = read_effect(fields, "effect") or Effect("flag")
    match kind:
        case "at_least":
            return fields, AtLeast(
                key,
                text,
                effect,
                count=fields.whole("count", 1, 1000, default=1),
                of=_selectors(fields, "of"),
            )
        case "before":
            return fields, Before(
                key,
                text,
                effect,
                first=_selectors(fields, "first"),
                then=_selectors(fields, "then"),
                per=cast(Axis | None, fields.word("per", AXES, default=None)),
                slack_seconds=fields.number(
                    "slack_seconds", 0, MOST_SECONDS, Before.slack_seconds
                ),
            )
        case "within":
            minutes = fields.number("minutes", 0, MOST_MINUTES, default=Fraction(0))
            return fields, Within(key, text, effect, minutes)
    return fields, Hazard(key, text, effect)


def keys_of_kind(kind: object) -> frozenset[str]:
    """The keys of a rule of that kind; none where there is no such kind."""
    if not isinstance(kind, str) or kind not in _KINDS:
        return frozenset()
    required, optional = _KINDS[kind]
    return frozenset((*_EVERY, *required, *optional))


def _kind(node: Node) -> str | None:
    if isinstance(node, Mapping) and "kind" in node.entries:
        kind = node.entries["kind"][1]
        if isinstance(kind, Scalar) and kind.text in _KINDS:
            return kind.text
    return None


def _selectors(fields: Fields, key: str) -> tuple[str, ...]:
    return fields.texts(key, 1, MOST_SELECTORS, is_selector, ALLOWED_SELECTOR)
