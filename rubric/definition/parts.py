"""The elements and grids of a section, as written in a file."""

from __future__ import annotations

from fractions import Fraction
from typing import TypedDict

from rubric.definition.document import Document
from rubric.definition.fields import LONGEST_LINE, Fields, shown
from rubric.definition.keys import ALLOWED_KEY, is_axis_name, is_key
from rubric.definition.tree import Mapping, Node, Scalar
from rubric.definition.values import Credit, Effect, Element, Grid, Level, Technique
from rubric.faults import Place, quoted

MOST_POINTS = 10_000
MOST_NAMES = 50  # of one axis of a grid

MOST_WORDS = 50  # by which an element may be heard

GRID_ONLY = ("sites", "sides", "instruments", "points_shared")

_BOTH = ("critical", "credit", "expects", "source", "may_excuse", "say")


class Common(TypedDict):
    """What elements and grids have in common."""

    key: str
    text: str
    technique: Technique
    critical: Effect | None
    credit: Credit
    expects: str
    source: str
    may_excuse: bool
    say: tuple[str, ...]


def read_part(
    document: Document, node: Node, place: Place
) -> tuple[Fields, Element | Grid]:
    """An element, or a grid where a key that only a grid has is written."""
    if isinstance(node, Mapping) and any(key in node.entries for key in GRID_ONLY):
        return read_grid(document, node, place)
    return read_element(document, node, place)


def read_element(
    document: Document, node: Node, place: Place
) -> tuple[Fields, Element]:
    required = ("key", "text", "technique", "points")
    optional = (*_BOTH, "levels")
    fields = Fields(document, node, "an element", required, optional, place)
    points = fields.number("points", 0, MOST_POINTS, default=Fraction(0))
    levels = _levels(document, fields)
    return fields, Element(points=points, levels=levels, **_common(fields))


def read_grid(document: Document, node: Node, place: Place) -> tuple[Fields, Grid]:
    """A grid; its key is empty, as unreadable, where the names of an axis are."""
    required = ("key", "text", "technique", "sites")
    optional = ("sides", "instruments", "points", "points_shared", *_BOTH)
    fields = Fields(document, node, "a grid", required, optional, place)
    points = fields.number("points", 0, MOST_POINTS, default=None)
    shared = fields.number("points_shared", 0, MOST_POINTS, default=None)
    if ("points" in fields) == ("points_shared" in fields):
        both = "points" in fields
        names = "both points and" if both else "neither points nor"
        fields.fault(None, f"a grid has {names} points_shared", "one of them")
    common = _common(fields)
    faults = len(document.faults)
    sites = _axis(fields, "sites", 1)
    sides = _axis(fields, "sides", 0)
    instruments = _axis(fields, "instruments", 0)
    if not sites or len(document.faults) > faults:
        common["key"] = ""
    if points is None and shared is None:
        points = Fraction(0)
    return fields, Grid(
        sites=sites,
        sides=sides,
        instruments=instruments,
        points=points,
        points_shared=shared if points is None else None,
        **common,
    )


def read_key(fields: Fields) -> str:
    key = fields.text("key", "", LONGEST_LINE)
    if key and not is_key(key):
        fields.fault("key", f"key is {quoted(key)}", ALLOWED_KEY)
        return ""
    return key


def read_effect(fields: Fields, key: str) -> Effect | None:
    """`fail`, `flag`, or the percentage points of `cap` or `deduct`."""
    node = fields.node(key)
    if isinstance(node, Scalar) and node.text in ("fail", "flag"):
        return Effect("fail" if node.text == "fail" else "flag")
    if isinstance(node, Mapping) and len(node.entries) == 1:
        amounts = fields.group(key, (), ("cap", "deduct"))
        if "cap" in amounts:
            return Effect("cap", amounts.number("cap", 0, 100, Fraction(0)))
        return Effect("deduct", amounts.number("deduct", 0, 100, Fraction(0)))
    if node is not None:
        what = f"{key} is {shown(node)}"
        fields.fault(key, what, "fail, flag, {cap: N} or {deduct: N}")
    return None


def read_credit(fields: Fields) -> Credit:
    if "credit" not in fields:
        return Credit()
    credit = fields.group("credit", (), ("partly", "said"))
    return Credit(
        partly=credit.number("partly", 0, 1, default=None),
        said=credit.number("said", 0, 1, default=None),
    )


def _common(fields: Fields) -> Common:
    return {
        "key": read_key(fields),
        "text": fields.text("text", ""),
        "technique": Technique(fields.word("technique", Technique, Technique.PERFORM)),
        "critical": read_effect(fields, "critical"),
        "credit": read_credit(fields),
        "expects": fields.text("expects", "", lines=True),
        "source": fields.text("source", "", lines=True),
        "may_excuse": fields.truth("may_excuse", False),
        "say": fields.texts("say", 0, MOST_WORDS),
    }


def _levels(document: Document, fields: Fields) -> tuple[Level, ...]:
    """All the levels, or none where one could not be read."""
    faults = len(document.faults)
    levels = []
    for node in fields.items("levels", 2, 7):
        required = ("label", "credit")
        level = Fields(document, node, "a level", required, (), fields.place, "levels")
        label = level.text("label", "", LONGEST_LINE)
        levels.append(Level(label, level.number("credit", 0, 1, default=Fraction(0))))
    return () if len(document.faults) > faults else tuple(levels)


def _axis(fields: Fields, key: str, least: int) -> tuple[str, ...]:
    allowed = "a name of letters, digits, spaces and single hyphens"
    return fields.texts(key, least, MOST_NAMES, is_axis_name, allowed)
