"""`before` rules: what the times of the marks say about an order."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from grading.scoring.plan import Part, ReadyRule, Standing
from grading.scoring.points import Tally
from grading.scoring.result import CheckResult
from rubric.definition.values import Before

OPEN, PERFORMED, UNSEEN = Standing.OPEN, Standing.PERFORMED, Standing.UNSEEN

# Of the parts of one rule, the first of these that any part has is the rule's.
PRECEDENCE: tuple[CheckResult, ...] = (
    "violated",
    "open",
    "not_checked",
    "cannot_tell",
    "met",
)


class Order(NamedTuple):
    """What the times say.

    `live` says that some part has an act (or one that was not seen) on both sides, so
    that there is something to order. `decisive` are positions: for a violation the act
    that came too early and the one that came too late, part by part; `at` is the time
    of the former.
    """

    result: CheckResult
    live: bool
    decisive: tuple[int, ...] = ()
    at: Decimal | None = None


def order_of(tally: Tally, ready: ReadyRule, rule: Before) -> Order:
    """The rule as its times alone have it, all parts taken together."""
    parts = [_part(tally, part, rule.slack_seconds) for part in ready.parts]
    live = any(part.live for part in parts)
    for result in PRECEDENCE:
        same = [part for part in parts if part.result == result]
        if same:
            times = [part.at for part in same if part.at is not None]
            decisive = tuple(index for part in same for index in part.decisive)
            return Order(result, live, decisive, min(times, default=None))
    return Order("not_applicable", live)


def _part(tally: Tally, part: Part, slack: Fraction) -> Order:
    sides = [[tally.standings[index] for index in side] for side in part]
    dead = [side for side in sides if PERFORMED not in side and UNSEEN not in side]
    if dead:
        may_live = all(OPEN in side for side in dead)
        return Order("open" if may_live else "not_applicable", live=False)
    first, first_untimed = _acts(tally, part[0])
    then, then_untimed = _acts(tally, part[1])
    unmarked = any(OPEN in side for side in sides)
    untimed = first_untimed + then_untimed
    if untimed:
        return Order("open" if unmarked else "not_checked", True, untimed)
    if first and then:
        late, early = max(first), min(then)
        if late > early and Fraction(late[0]) - Fraction(early[0]) > slack:
            return Order("violated", True, (early[1], late[1]), early[0])
    if unmarked:
        return Order("open", live=True)
    unseen = tuple(i for i in part[0] + part[1] if tally.standings[i] is UNSEEN)
    return Order("cannot_tell" if unseen else "met", True, unseen)


def _acts(
    tally: Tally, side: tuple[int, ...]
) -> tuple[list[tuple[Decimal, int]], tuple[int, ...]]:
    """The performed elements of a side: times with positions, positions without time."""
    timed, untimed = [], []
    for index in side:
        if tally.standings[index] is PERFORMED:
            at = tally.marks[index].at
            if at is None:
                untimed.append(index)
            else:
                timed.append((at, index))
    return timed, tuple(untimed)
