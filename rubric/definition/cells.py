"""The keys that a part of a draft gives, as far as they can be read."""

from __future__ import annotations

from itertools import product
from math import prod

from rubric.definition.coherence import MOST_ELEMENTS
from rubric.definition.draft import Draft, Node
from rubric.definition.keys import axis_key

_AXES = ("sites", "sides", "instruments")

Names = tuple[str, ...]


def elements_of(part: Node) -> list[str]:
    """The keys of the part's elements, as far as they can be read."""
    if part.kind == "element":
        return [key_of(part)]
    return [".".join((key_of(part), *cell)) for cell in cells_of(axes_of(part))]


def cells_of(axes: list[Names]) -> list[Names]:
    """The names of each cell of a grid; none of a grid larger than a rubric may be."""
    if prod(max(1, len(names)) for names in axes) > MOST_ELEMENTS or not axes[0]:
        return []
    return list(product(*(names for names in axes if names)))


def axes_of(grid: Node) -> list[Names]:
    """The keys of a grid's sites, sides and instruments."""
    lists = (grid.fields.get(axis) for axis in _AXES)
    return [
        tuple(axis_key(name) for name in names if isinstance(name, str))
        if isinstance(names, list)
        else ()
        for names in lists
    ]


def key_of(part: Node) -> str:
    """The part's own key; empty where it is no text."""
    key = part.fields.get("key")
    return key.strip() if type(key) is str else ""


def keys_in(draft: Draft) -> set[str]:
    """Every key that a section, a part, a grid's cell or a rule of the draft has."""
    parts = (key for part in draft.parts() for key in elements_of(part))
    return {*map(key_of, draft.nodes.values()), *parts}
