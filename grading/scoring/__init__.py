"""Scoring: what a sheet comes to, in exact arithmetic."""

from grading.scoring.json_object import as_json
from grading.scoring.outcome import score
from grading.scoring.points import credit_of, earned
from grading.scoring.read import read_marks
from grading.scoring.report import report
from grading.scoring.result import (
    Case,
    Check,
    CheckKind,
    CheckResult,
    Open,
    Outcome,
    Range,
    Reason,
    ReasonKind,
    Result,
    SectionFigure,
)
from grading.scoring.sheet import Mark, Ruling, Sheet, Sighting
from grading.scoring.shown import Limit, number, points_shown, shown, time_shown
from grading.scoring.wording import STATE_WORDS, consequence, in_words, state_in_words
from grading.scoring.write import write_marks

__all__ = [
    "STATE_WORDS",
    "Case",
    "Check",
    "CheckKind",
    "CheckResult",
    "Limit",
    "Mark",
    "Open",
    "Outcome",
    "Range",
    "Reason",
    "ReasonKind",
    "Result",
    "Ruling",
    "SectionFigure",
    "Sheet",
    "Sighting",
    "as_json",
    "consequence",
    "credit_of",
    "earned",
    "in_words",
    "number",
    "points_shown",
    "read_marks",
    "report",
    "score",
    "shown",
    "state_in_words",
    "time_shown",
    "write_marks",
]
