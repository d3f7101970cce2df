"""What sums and checks come to: deductions, cap, percent, and whether that is a pass.

One reading serves the sheet as judged, its best case and its worst case.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import count
from typing import NamedTuple

from grading.scoring.plan import Plan, ratio
from grading.scoring.points import Tally
from grading.scoring.result import Case, Check, Outcome, SectionFigure

ZERO = Fraction(0)


class Verdict(NamedTuple):
    """`case` holds the percent, and the outcome by steps 2, 6 and 7 of the order."""

    sections: tuple[SectionFigure, ...]
    raw: Fraction | None
    deducted: Fraction
    case: Case


def verdict_of(plan: Plan, tally: Tally, checks: Iterable[Check]) -> Verdict:
    """Raw and percent are None with nothing possible, and then nothing passes."""
    deducted, fails = ZERO, False
    caps = []
    for check in checks:
        if check.result == "violated":
            amount = check.effect.amount or ZERO
            if check.effect.kind == "fail":
                fails = True
            elif check.effect.kind == "deduct":
                deducted += amount
            elif check.effect.kind == "cap":
                caps.append(amount)
    cap = min(caps, default=None)
    sections = tuple(map(plan.section_figure, count(), tally.possible, tally.gained))
    raw = percent = percent_of(sum(tally.gained), sum(tally.possible))
    if percent is not None and deducted:
        percent = max(ZERO, percent - deducted)
    if percent is not None and cap is not None:
        percent = min(percent, cap)
    passes = (
        not fails
        and percent is not None
        and percent >= plan.pass_percent
        and all(section.minimum_met is not False for section in sections)
    )
    outcome = Outcome.PASS if passes else Outcome.NOT_YET
    case = Case(percent, cap, plan.pass_percent, outcome)
    return Verdict(sections, raw, deducted, case)


def percent_of(gained: int, possible: int) -> Fraction | None:
    """100 x gained / possible; None where nothing is possible."""
    return ratio(100 * gained, possible) if possible else None
