"""What a rubric file says: read it, write it, ask it for its elements."""

from rubric.definition.compare import (
    Change,
    Comparison,
    Group,
    Pair,
    compare,
)
from rubric.definition.differences import Difference
from rubric.definition.document import Document
from rubric.definition.draft import Draft
from rubric.definition.edit import apply
from rubric.definition.fields import Fields
from rubric.definition.grids import caption, expand
from rubric.definition.paste import read_lines
from rubric.definition.read import read
from rubric.definition.selectors import select
from rubric.definition.values import (
    AtLeast,
    Axis,
    Before,
    Credit,
    Definition,
    Effect,
    Element,
    GlobalRating,
    Grid,
    Hazard,
    Level,
    Rule,
    Section,
    State,
    Technique,
    Within,
)
from rubric.definition.write import write_json, write_yaml

__all__ = [
    "AtLeast",
    "Axis",
    "Before",
    "Change",
    "Comparison",
    "Credit",
    "Definition",
    "Difference",
    "Document",
    "Draft",
    "Effect",
    "Element",
    "Fields",
    "GlobalRating",
    "Grid",
    "Group",
    "Hazard",
    "Level",
    "Pair",
    "Rule",
    "Section",
    "State",
    "Technique",
    "Within",
    "apply",
    "caption",
    "compare",
    "expand",
    "read",
    "read_lines",
    "select",
    "write_json",
    "write_yaml",
]
