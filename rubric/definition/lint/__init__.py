"""What to mend in a rubric before it is published, and what is worth a look."""

from rubric.definition.lint.finding import HEADINGS, Finding, Mend
from rubric.definition.lint.look import lint

__all__ = ["HEADINGS", "Finding", "Mend", "lint"]
