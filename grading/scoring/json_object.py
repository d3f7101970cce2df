"""A result as the JSON object that the command prints and a release keeps.

Figures are decimal strings: exact where they end, else 10 significant digits, more
where 10 would cross a limit. Moments are numbers of seconds.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from grading.scoring.result import Case, Check, Result, SectionFigure
from grading.scoring.shown import Limit, number
from rubric.definition.values import Effect


def as_json(result: Result) -> dict[str, Any]:
    """Plain values in the contract's order of keys, ready for `json.dumps`.

    `minimum_met` is None where a section has no minimum or nothing was possible.
    """
    limits = result.limits
    return {
        "outcome": str(result.outcome),
        "possible": number(result.possible),
        "earned": number(result.earned),
        "raw": _number(result.raw, limits),
        "percent": _number(result.percent, limits),
        "percent_shown": result.percent_shown,
        "deducted": number(result.deducted),
        "cap": _number(result.cap),
        "unseen_points": number(result.unseen_points),
        "excused_points": number(result.excused_points),
        "range": result.range
        and {
            "worst": _case(result.range.worst),
            "best": _case(result.range.best),
        },
        "sections": [_section(section) for section in result.sections],
        "checks": [_check(check) for check in result.checks],
        "reasons": [
            {"kind": reason.kind, "key": reason.key, "text": reason.text}
            for reason in result.reasons
        ],
    }


def _number(value: Fraction | None, limits: Sequence[Limit] = ()) -> str | None:
    return None if value is None else number(value, limits)


def _case(case: Case) -> dict[str, Any]:
    return {
        "percent": _number(case.percent, case.limits),
        "outcome": str(case.outcome),
    }


def _section(section: SectionFigure) -> dict[str, Any]:
    return {
        "key": section.key,
        "possible": number(section.possible),
        "earned": number(section.earned),
        "percent": _number(section.percent, section.limits),
        "minimum_met": section.minimum_met,
    }


def _check(check: Check) -> dict[str, Any]:
    return {
        "key": check.key,
        "kind": check.kind,
        "effect": _effect(check.effect),
        "result": check.result,
        "elements": list(check.elements),
        "at": None if check.at is None else float(check.at),
    }


def _effect(effect: Effect) -> str | dict[str, int | float]:
    if effect.amount is None:
        return effect.kind
    whole = effect.amount.denominator == 1
    return {effect.kind: int(effect.amount) if whole else float(effect.amount)}
