"""The grounds of an outcome, in words for a student (of an open sheet, for its marker).

Each function gives the grounds of one step of the order of outcomes, none where the
step does not apply. Flags change nothing and are no ground; they are among the checks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from grading.scoring.plan import Plan
from grading.scoring.points import Tally
from grading.scoring.result import (
    Case,
    Check,
    CheckResult,
    Open,
    Outcome,
    Reason,
    SectionFigure,
)
from grading.scoring.sheet import Sheet
from grading.scoring.shown import Limit, number, shown
from grading.scoring.verdict import percent_of
from grading.scoring.wording import consequence, finding
from rubric.definition.values import Definition


@dataclass(frozen=True, slots=True)
class Facts:
    """All that the grounds are found in."""

    definition: Definition
    plan: Plan
    sheet: Sheet
    tally: Tally
    checks: tuple[Check, ...]
    sections: tuple[SectionFigure, ...]
    judged: Case


def incomplete(facts: Facts, left: Open) -> list[Reason]:
    """Step 1: no state, no rating, a ruling or a confirmation awaited."""
    plan = facts.plan
    reasons = [
        Reason("open", key, f"{plan.elements[plan.index[key]].text}: no state yet.")
        for key in left.elements
    ]
    if left.global_rating:
        text = "The global rating is not given yet."
        reasons.append(Reason("global_rating", None, text))
    for check, found in _findings(facts, "awaited", ("deduct", "cap", "fail")):
        if check.kind == "before":
            text = f"{found}. A ruling of the marker is awaited."
            reasons.append(Reason("ruling", check.key, text, check.effect, check.at))
        else:
            text = f"{found}. A confirmation is awaited."
            reasons.append(
                Reason("confirmation", check.key, text, check.effect, check.at)
            )
    return reasons


def failures(facts: Facts) -> list[Reason]:
    """Step 2: every `fail` in force."""
    return _violations(facts, ("fail",))


def lowerings(facts: Facts) -> list[Reason]:
    """No step: what took points off, or held the percent down."""
    return _violations(facts, ("deduct", "cap"))


def nothing_possible(facts: Facts) -> list[Reason]:
    """Step 3."""
    if facts.judged.percent is not None:
        return []
    return [Reason("possible", None, "No points could be judged from this recording.")]


def doubts(facts: Facts, worst: Case) -> list[Reason]:
    """Step 5: a check that could decide cannot tell, too much unseen, a wide range."""
    reasons = [
        Reason(
            check.kind,
            check.key,
            f"{found}, so it cannot be judged from this recording.",
            check.effect,
            check.at,
        )
        for check, found in _findings(facts, "cannot_tell", ("cap", "fail"))
    ]
    unseen = facts.tally.unseen
    share = percent_of(unseen, sum(facts.tally.possible) + unseen)
    limit = facts.definition.unseen_limit_percent
    if share is not None and share > limit:
        figure = shown(share, [Limit("at_most", limit)])
        text = (
            f"{figure}% of the points could not be seen in this recording; "
            f"at most {number(limit)}% may be."
        )
        reasons.append(Reason("unseen_limit", None, text))
    if facts.definition.unseen == "range" and worst.outcome is not Outcome.PASS:
        reasons.append(
            _case("worst_case", worst, "If all that was not seen counted as missed")
        )
    return reasons


def best_case(best: Case) -> list[Reason]:
    """Step 4, for a sheet on which something was not seen."""
    return [_case("best_case", best, "Even if all that was not seen counted as done")]


def shortfalls(facts: Facts) -> list[Reason]:
    """Step 6: below the pass mark, or a section below its minimum."""
    judged = facts.judged
    reasons = []
    if judged.percent is not None and judged.percent < judged.pass_percent:
        reasons.append(_percent(judged, "is below"))
    for section in facts.sections:
        if section.minimum_percent is not None and section.minimum_met is False:
            text = (
                f"{section.title}: {section.percent_shown}% is below this section's "
                f"minimum of {number(section.minimum_percent)}%."
            )
            reasons.append(Reason("section", section.key, text))
    return reasons


def reached(facts: Facts) -> list[Reason]:
    """Step 7."""
    return [_percent(facts.judged, "reaches")]


def _percent(judged: Case, stands: str) -> Reason:
    mark = number(judged.pass_percent)
    text = f"{judged.percent_shown}% {stands} the pass mark of {mark}%."
    return Reason("percent", None, text)


def _case(
    kind: Literal["best_case", "worst_case"], case: Case, supposing: str
) -> Reason:
    text = f"{supposing}, the result would be {case.percent_shown}%: not a pass."
    return Reason(kind, None, text)


def _violations(facts: Facts, effects: tuple[str, ...]) -> list[Reason]:
    return [
        Reason(
            check.kind,
            check.key,
            f"{found}, so {consequence(check.effect)}.",
            check.effect,
            check.at,
        )
        for check, found in _findings(facts, "violated", effects)
    ]


def _findings(
    facts: Facts, result: CheckResult, effects: tuple[str, ...]
) -> list[tuple[Check, str]]:
    """The checks with this result and one of these effects, each with its finding."""
    return [
        (check, finding(facts.plan, facts.sheet, facts.tally, subject, check))
        for subject, check in zip(facts.plan.subjects, facts.checks, strict=True)
        if check.result == result and check.effect.kind in effects
    ]
