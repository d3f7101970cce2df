"""The words of a feedback: for states, outcomes, kinds and what went short."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from grading.scoring import Check, Mark, credit_of, earned, points_shown, shown
from grading.scoring.result import CheckKind, CheckResult
from grading.scoring.shown import Limit
from grading.scoring.wording import consequence
from grading.scoring.work_first import Way, WorkOn
from rubric.definition import Definition, Effect, Element, State

OUTCOMES = {
    "pass": "Pass",
    "not_yet": "Not yet",
    "cannot_be_judged": "Cannot be judged",
}
KINDS = {"strength": "Strength", "improve": "To improve", "question": "Question"}
WAYS: Mapping[Way, str] = {
    "missed": "Left out",
    "said": "Said, not done",
    "partly": "Done in part",
    "level": "Not yet at its top level",
    "several": "Not done in full",
    "at_least": "Too few done",
    "before": "Out of order",
    "hazard": "Must not happen",
    "within": "Too long",
}
VERDICTS: Mapping[CheckResult, tuple[str, str]] = {
    "met": ("success", "met"),
    "violated": ("alert", "not met"),
    "cannot_tell": ("unseen", "cannot tell"),
    "not_checked": ("excused", "not checked"),
    "not_applicable": ("excused", "does not apply"),
}
OF_KIND: Mapping[tuple[CheckKind, CheckResult], str] = {
    ("hazard", "met"): "not seen to happen",
    ("hazard", "violated"): "seen",
    ("before", "met"): "in order",
    ("before", "violated"): "out of order",
    ("within", "met"): "not so",
    ("within", "violated"): "over time",
    ("within", "not_checked"): "length not known",
    ("critical", "not_applicable"): "excused",
}


def glyph_of(definition: Definition, mark: Mark) -> str:
    """The sign of a state; a level borrows that of full, some or no credit."""
    if mark.state is not State.LEVEL:
        return str(mark.state)
    credit = credit_of(definition, mark)
    return "missed" if not credit else "done" if credit == 1 else "partly"


def points_of(definition: Definition, element: Element, mark: Mark) -> str:
    """What the mark earned of the element's points."""
    got = earned(definition, mark)
    if got is None:
        return "not counted"
    if not element.points:
        return "no points"
    return f"{points_shown(got)} of {points_shown(element.points)}"


def exact(figure: str) -> Fraction:
    """A kept figure as it was before it was written to 10 significant digits.

    >>> exact("12.33333333")
    Fraction(37, 3)
    """
    return Fraction(figure).limit_denominator(10_000)


def section_points(possible: Fraction, got: Fraction) -> str:
    if not possible:
        return "no points counted"
    return f"{points_shown(got)} of {in_points(possible)}"


def minimum(percent: Fraction | None, met: bool | None) -> str:
    """A section's own minimum and whether it was reached; empty where it has none."""
    if percent is None:
        return ""
    least = f"{points_shown(percent)}%"
    return least if met is None else f"{least}, {'reached' if met else 'not reached'}"


def in_points(points: Fraction) -> str:
    return f"{points_shown(points)} {'point' if points == 1 else 'points'}"


def verdict_on(check: Check) -> tuple[str, str]:
    """Sign and word for how a critical element or rule stands."""
    glyph, word = VERDICTS[check.result]
    return glyph, OF_KIND.get((check.kind, check.result), word)


def ruled(ruling: Mapping[str, Any] | None) -> str:
    """A marker's ruling in words, with the note where there is one."""
    if ruling is None:
        return ""
    note = ruling.get("note", "")
    return f"Ruled by the marker: {note}" if note else "Ruled by the marker"


def what_it_does(check: Check) -> str:
    """What follows from how it stands; in doubt, what would follow."""
    words = _effect(check.effect)
    return words if check.result == "violated" else f"if not met, {words}"


def what_it_cost(thing: WorkOn) -> str:
    """Points and effect of one thing to work on: "2 points, and the outcome is ..."."""
    cost = [in_points(thing.lost)] if thing.lost else []
    if thing.effect and (thing.effect.kind != "flag" or not cost):
        cost.append(_effect(thing.effect))
    return ", and ".join(cost)


def why(definition: Definition, result: Mapping[str, Any]) -> str:
    """The ground of the outcome; then, where points alone would have passed, that."""
    text = str(result["reasons"][0]["text"])
    percent = result["percent"]
    if result["outcome"] != "pass" and percent is not None:
        reached = Fraction(percent) >= definition.pass_percent
        short = any(section["minimum_met"] is False for section in result["sections"])
        if reached and not short:
            text += " Your points reach the pass mark."
    return text


def span(definition: Definition, result: Mapping[str, Any]) -> str:
    """What the unseen could have made of it; empty where it makes no difference."""
    cases = result["range"]
    if not cases or cases["worst"] == cases["best"]:
        return ""
    worst, best = (
        f"{_percent(definition, cases[case]['percent'])} "
        f"({OUTCOMES[cases[case]['outcome']].lower()})"
        for case in ("worst", "best")
    )
    return (
        "Part of this recording could not be seen. With all of that missed the result "
        f"would be {worst}; with all of it done, {best}."
    )


def pass_mark(definition: Definition) -> str:
    return f"{points_shown(definition.pass_percent)}%"


def _effect(effect: Effect) -> str:
    return "only noted" if effect.kind == "flag" else consequence(effect)


def _percent(definition: Definition, percent: str | None) -> str:
    if percent is None:
        return "no percent"
    limit = Limit("at_least", definition.pass_percent)
    return f"{shown(Fraction(percent), [limit])}%"
