"""Critical elements and rules: how each one stands on a sheet.

The contract's table of results is read from right to left: not applicable first, then
not checked, then cannot tell, then violated, else met. Where it leaves room:

- A ruling replaces what the times say, not whether there is anything to order: a
  `before` rule with nothing performed or unseen on one side is not applicable, ruled
  or not.
- While elements have no state, a check is `open` as long as one of them can still
  change it. For `before` the contract has it simpler: a violation by the times stands
  at once, anything else waits for every element of the rule.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from grading.scoring.order import order_of
from grading.scoring.plan import Critical, Plan, ReadyRule, Standing
from grading.scoring.points import Tally
from grading.scoring.result import Check, CheckResult
from grading.scoring.sheet import Ruling, Sheet, Sighting
from rubric.definition.values import AtLeast, Before, Hazard, Within

OPEN, PERFORMED = Standing.OPEN, Standing.PERFORMED
OMITTED, UNSEEN, EXCUSED = Standing.OMITTED, Standing.UNSEEN, Standing.EXCUSED


def checks_of(plan: Plan, sheet: Sheet, tally: Tally) -> tuple[Check, ...]:
    """Every critical element, then every rule, in rubric order.

    Raises ValueError for a sighting or ruling that names no rule of its kind, and for
    two rulings on one rule.
    """
    rulings = _rulings(plan, sheet)
    checks = [_critical(tally, critical) for critical in plan.criticals]
    for ready in plan.rules:
        rule = ready.rule
        if isinstance(rule, AtLeast):
            checks.append(_at_least(tally, ready, rule))
        elif isinstance(rule, Before):
            checks.append(_before(plan, tally, ready, rule, rulings.get(rule.key)))
        elif isinstance(rule, Hazard):
            checks.append(_hazard(ready, rule, sheet.hazards))
        else:
            checks.append(_within(ready, rule, sheet))
    return tuple(checks)


def checks_of_case(
    plan: Plan, checks: tuple[Check, ...], case: Tally
) -> tuple[Check, ...]:
    """The checks of a best or worst case, from those of the sheet.

    What was filled in has no part in an order, and critical elements and counts change
    only where they could not tell.
    """
    again = list(checks)
    for number, check in enumerate(checks):
        if check.result == "cannot_tell":
            if number < len(plan.criticals):
                again[number] = _critical(case, plan.criticals[number])
                continue
            ready = plan.rules[number - len(plan.criticals)]
            if isinstance(ready.rule, AtLeast):
                again[number] = _at_least(case, ready, ready.rule)
    return tuple(again)


def _rulings(plan: Plan, sheet: Sheet) -> dict[str, Ruling]:
    rulings = {ruling.rule: ruling for ruling in sheet.rulings}
    if len(rulings) < len(sheet.rulings):
        raise ValueError("a rule is ruled on twice")
    for key in rulings:
        if plan.rule_kinds.get(key) != "before":
            raise ValueError(f"the rubric has no rule of kind before named {key}")
    for sighting in sheet.hazards:
        if plan.rule_kinds.get(sighting.rule) != "hazard":
            raise ValueError(
                f"the rubric has no rule of kind hazard named {sighting.rule}"
            )
    return rulings


def _critical(tally: Tally, critical: Critical) -> Check:
    position, checks = critical
    check = checks[tally.standings[position]]
    if not check.decisive or tally.marks[position].at is None:
        return check
    return replace(check, at=tally.marks[position].at)


def _at_least(tally: Tally, ready: ReadyRule, rule: AtLeast) -> Check:
    standings = [tally.standings[position] for position in ready.of]
    left = len(standings) - standings.count(EXCUSED)
    count = min(rule.count, left)
    performed = standings.count(PERFORMED)
    unseen = standings.count(UNSEEN)
    unmarked = standings.count(OPEN)
    result: CheckResult = "open"
    decisive: tuple[str, ...] = ()
    if not left:
        result = "not_applicable"
    elif performed >= count:
        if left == len(standings):
            return ready.met
        result = "met"
    elif performed + unseen + unmarked < count:
        result = "violated"
        decisive = _keys(ready, standings, OMITTED)
    elif performed + unmarked < count <= performed + unseen:
        result = "cannot_tell"
        decisive = _keys(ready, standings, UNSEEN)
    elements = _not_excused(ready, standings)
    return Check(rule.key, "at_least", rule.effect, result, elements, None, decisive)


def _before(
    plan: Plan, tally: Tally, ready: ReadyRule, rule: Before, ruling: Ruling | None
) -> Check:
    order = order_of(tally, ready, rule)
    result, at = order.result, order.at
    decisive = tuple([plan.elements[position].key for position in order.decisive])
    if ruling is not None and order.live:
        result = ruling.result
        if result != order.result:
            at, decisive = None, ()
    elif result in ("violated", "not_checked") and rule.effect.kind != "flag":
        result = "awaited"
    elements = ready.keys
    if EXCUSED in tally.kinds:
        elements = _not_excused(ready, [tally.standings[i] for i in ready.of])
    if result == "met" and elements is ready.keys:
        return ready.met
    return Check(rule.key, "before", rule.effect, result, elements, at, decisive)


def _hazard(ready: ReadyRule, rule: Hazard, hazards: tuple[Sighting, ...]) -> Check:
    sightings = [sighting for sighting in hazards if sighting.rule == rule.key]
    if not sightings:
        return ready.met
    counting = [
        sighting
        for sighting in sightings
        if sighting.confirmed or rule.effect.kind == "flag"
    ]
    times = [s.at for s in counting or sightings if s.at is not None]
    return replace(
        ready.met,
        result="violated" if counting else "awaited",
        at=min(times, default=None),
    )


def _within(ready: ReadyRule, rule: Within, sheet: Sheet) -> Check:
    if sheet.length_seconds is None:
        return replace(ready.met, result="not_checked")
    end = _end(rule.minutes, sheet.extra_minutes, sheet.start_at)
    if sheet.length_seconds <= end:
        return ready.met
    at = Decimal(end.numerator) / end.denominator
    return replace(ready.met, result="violated", at=at)


@lru_cache(maxsize=1024)
def _end(minutes: Fraction, extra_minutes: Decimal, start_at: Decimal) -> Fraction:
    """The moment at which a recording has run for as long as it may."""
    return (minutes + Fraction(extra_minutes)) * 60 + Fraction(start_at)


def _keys(
    ready: ReadyRule, standings: list[Standing], wanted: Standing
) -> tuple[str, ...]:
    pairs = zip(ready.keys, standings, strict=True)
    return tuple([key for key, standing in pairs if standing is wanted])


def _not_excused(ready: ReadyRule, standings: list[Standing]) -> tuple[str, ...]:
    if EXCUSED not in standings:
        return ready.keys
    pairs = zip(ready.keys, standings, strict=True)
    return tuple([key for key, standing in pairs if standing is not EXCUSED])
