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
    if len(ready.parts) == 1:
        return _part(tally, ready.parts[0], rule.slack_seconds)
    parts = [_part(tally, part, rule.slack_seconds) for part in ready.parts]
    live = any(part.live for part in parts)
    for result in PRECEDENCE:
        same = [part for part in parts if part.result == result]
        if same:
            times = [part.at for part in same if part.at is not None]
            decisive = tuple(position for part in same for position in part.decisive)
            return Order(result, live, decisive, min(times, default=None))
    return Order("not_applicable", live)


class _Side(NamedTuple):
    """One side of a part: what was done with its times, what was not seen, and whether
    an element has no state. `live`: something was done or not seen.
    """

    timed: list[tuple[Decimal, int]]
    untimed: list[int]
    unseen: list[int]
    unmarked: bool
    live: bool


def _side(tally: Tally, positions: tuple[int, ...]) -> _Side:
    timed, untimed, unseen, unmarked = [], [], [], False
    standings, marks = tally.standings, tally.marks
    for position in positions:
        standing = standings[position]
        if standing is PERFORMED:
            at = marks[position].at
            if at is None:
                untimed.append(position)
            else:
                timed.append((at, position))
        elif standing is UNSEEN:
            unseen.append(position)
        elif standing is OPEN:
            unmarked = True
    live = bool(timed or untimed or unseen)
    return _Side(timed, untimed, unseen, unmarked, live)


def _part(tally: Tally, part: Part, slack: Fraction) -> Order:
    first, then = _side(tally, part[0]), _side(tally, part[1])
    if not (first.live and then.live):
        may_live = all(side.live or side.unmarked for side in (first, then))
        return Order("open" if may_live else "not_applicable", live=False)
    untimed = first.untimed + then.untimed
    if not untimed and first.timed and then.timed:
        late, early = max(first.timed), min(then.timed)
        if late[0] > early[0] and Fraction(late[0]) - Fraction(early[0]) > slack:
            return Order("violated", True, (early[1], late[1]), early[0])
    if first.unmarked or then.unmarked:
        return Order("open", live=True)
    if untimed:
        return Order("not_checked", True, tuple(untimed))
    unseen = first.unseen + then.unseen
    return Order("cannot_tell" if unseen else "met", True, tuple(unseen))
