"""What was typed into a field, as the value that a file has there."""

from __future__ import annotations

from rubric.definition.exact import Json, number

_NUMBERS = {
    "pass_percent",
    "unseen_limit_percent",
    "minimum_percent",
    "points",
    "points_shared",
    "count",
    "slack_seconds",
    "minutes",
}
# The numbers in a group of keys.
_WITHIN = {
    "credit": {"partly", "said"},
    "critical": {"cap", "deduct"},
    "effect": {"cap", "deduct"},
    "global_rating": {"borderline"},
}


def typed(name: str, value: Json) -> Json:
    """The field's value, its numbers made of the digits typed; what is none stays.

    >>> typed("points", "1.50"), typed("text", "1.50"), typed("points", "two")
    ('1.50', '1.50', 'two')
    >>> [type(typed(name, "1.50")).__name__ for name in ("points", "text")]
    ['Number', 'str']
    """
    if name in _NUMBERS:
        return number(value)
    if isinstance(value, dict) and name in _WITHIN:
        return _numbers(value, _WITHIN[name])
    if isinstance(value, list) and name == "levels":
        return [
            _numbers(level, {"credit"}) if isinstance(level, dict) else level
            for level in value
        ]
    return value


def _numbers(group: dict[str, Json], names: set[str]) -> dict[str, Json]:
    return {k: number(v) if k in names else v for k, v in group.items()}
