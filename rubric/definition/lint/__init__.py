"""What to mend in a rubric before it is published, and what is worth a look."""

from rubric.definition.lint.finding import HEADINGS, Finding, Mend
from rubric.definition.lint.findings import lint, look
from rubric.definition.lint.places import part_at

__all__ = ["HEADINGS", "Finding", "Mend", "lint", "look", "part_at"]
