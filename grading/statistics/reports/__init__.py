"""From a person's own table to figures, one module a family of statistics.

Nothing is imported here: each needs other libraries.
"""

__all__ = [
    "comparisons",
    "elements",
    "groups",
    "marks",
    "pass_marks",
    "ratings",
    "report",
]
