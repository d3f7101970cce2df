"""What sums and checks come to: deductions, cap, percent, and whether that is a pass.

One reading serves the sheet as judged, its best case and its worst case.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from grading.scoring.plan import Plan
from grading.scoring.points import Tally, percent_of
from grading.scoring.result import Check
from grading.scoring.shown import Limit, shown

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Verdict:
    """`raw` and `percent` are None with nothing possible, and then nothing passes.

    `passes` is steps 2, 6 and 7 of the order of outcomes; `below` holds the positions
    of the sections that miss their minimum.
    """

    raw: Fraction | None
    deducted: Fraction
    cap: Fraction | None
    percent: Fraction | None
    fails: bool
    below: tuple[int, ...]
    passes: bool

    def limits(self, plan: Plan) -> list[Limit]:
        """What the percent is compared with."""
        pass_mark = Limit("at_least", plan.pass_percent)
        return (
            [pass_mark] if self.cap is None else [pass_mark, Limit("at_most", self.cap)]
        )

    def percent_shown(self, plan: Plan) -> str | None:
        return None if self.percent is None else shown(self.percent, self.limits(plan))


def verdict_of(plan: Plan, tally: Tally, checks: Iterable[Check]) -> Verdict:
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
    raw = percent = percent_of(sum(tally.gained), sum(tally.possible))
    if percent is not None and deducted:
        percent = max(ZERO, percent - deducted)
    if percent is not None and cap is not None:
        percent = min(percent, cap)
    below = tuple(
        section
        for section, minimum in plan.minimums
        if 100 * tally.gained[section] < minimum * tally.possible[section]
    )
    reached = percent is not None and percent >= plan.pass_percent
    return Verdict(
        raw, deducted, cap, percent, fails, below, reached and not fails and not below
    )
