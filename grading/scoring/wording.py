"""What a check found, in one plain sentence without its full stop."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from grading.scoring.plan import Plan, Standing
from grading.scoring.points import Tally
from grading.scoring.result import Check
from grading.scoring.sheet import Mark, Sheet
from grading.scoring.shown import number, time_shown
from rubric.definition.values import (
    AtLeast,
    Before,
    Effect,
    Element,
    Hazard,
    Rule,
    State,
    Within,
)

STATE_WORDS = {
    State.DONE: "done",
    State.PARTLY: "partly",
    State.SAID: "said only",
    State.MISSED: "missed",
    State.UNSEEN: "not seen",
    State.EXCUSED: "excused",
}

RULED = {
    "violated": "the marker ruled that the order was not kept",
    "cannot_tell": "the marker ruled that the recording does not show the order",
}


def state_in_words(element: Element, mark: Mark) -> str:
    """The state as screens write it; for a level, the level's own words."""
    if mark.state is State.LEVEL and mark.level is not None:
        return element.levels[mark.level - 1].label
    return STATE_WORDS[mark.state]


def in_words(key: str) -> str:
    """An outcome, or the result of a check, as screens write it: "not yet"."""
    return key.replace("_", " ")


def consequence(effect: Effect) -> str:
    """What a violation does, as the end of a sentence."""
    amount = number(effect.amount or Fraction(0))
    if effect.kind == "fail":
        return 'the outcome is "not yet"'
    if effect.kind == "cap":
        return f"the result is at most {amount}%"
    if effect.kind == "deduct":
        points = "percentage point is" if amount == "1" else "percentage points are"
        return f"{amount} {points} taken off"
    return "this is noted and changes nothing else"


def finding(
    plan: Plan, sheet: Sheet, tally: Tally, subject: Element | Rule, check: Check
) -> str:
    """What was found, where it weighs against the student, leaves doubt or waits."""
    if isinstance(subject, Element):
        return _critical(plan, tally, subject, check)
    if isinstance(subject, AtLeast):
        found = _at_least(plan, tally, subject, check)
    elif isinstance(subject, Before):
        found = _before(plan, sheet, tally, subject, check)
    elif isinstance(subject, Hazard):
        found = _hazard(check)
    else:
        found = _within(subject, sheet)
    return f"{subject.text}: {found}"


def _critical(plan: Plan, tally: Tally, element: Element, check: Check) -> str:
    word = state_in_words(element, tally.marks[plan.index[element.key]])
    return f"{element.text}: {word}{_at(check.at)}. This part is critical"


def _at_least(plan: Plan, tally: Tally, rule: AtLeast, check: Check) -> str:
    standings = [tally.standings[plan.index[key]] for key in check.elements]
    unseen = standings.count(Standing.UNSEEN)
    return (
        f"{standings.count(Standing.PERFORMED)} performed"
        f"{f' and {unseen} not seen' if unseen else ''}"
        f", {min(rule.count, len(standings))} needed"
    )


def _before(plan: Plan, sheet: Sheet, tally: Tally, rule: Before, check: Check) -> str:
    for ruling in sheet.rulings:
        if ruling.rule == rule.key:
            return RULED[ruling.result]
    named = []
    for key in check.decisive:
        index = plan.index[key]
        named.append(f"{plan.elements[index].text}{_at(tally.marks[index].at)}")
    if check.at is not None:
        pairs = zip(named[::2], named[1::2], strict=True)
        return "; ".join(f"{early} came before {late}" for early, late in pairs)
    if check.result == "cannot_tell":
        return f"the recording does not show the order (not seen: {', '.join(named)})"
    return f"the times do not show the order (no time: {', '.join(named)})"


def _hazard(check: Check) -> str:
    return "seen" if check.at is None else f"seen at {time_shown(check.at)}"


def _within(rule: Within, sheet: Sheet) -> str:
    length = (sheet.length_seconds or 0) - sheet.start_at
    allowed = (rule.minutes + Fraction(sheet.extra_minutes)) * 60
    return f"{time_shown(length)} used, {time_shown(allowed)} allowed"


def _at(at: Decimal | None) -> str:
    return "" if at is None else f" ({time_shown(at)})"
