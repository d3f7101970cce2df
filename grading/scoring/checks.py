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

from decimal import Decimal
from fractions import Fraction

from grading.scoring.order import order_of
from grading.scoring.plan import Critical, Plan, ReadyRule, Standing
from grading.scoring.points import Tally
from grading.scoring.result import Check, CheckResult
from grading.scoring.sheet import Ruling, Sheet, Sighting
from rubric.definition.values import AtLeast, Before, Hazard, Within

OPEN, PERFORMED = Standing.OPEN, Standing.PERFORMED
OMITTED, UNSEEN, EXCUSED = Standing.OMITTED, Standing.UNSEEN, Standing.EXCUSED

CRITICAL: dict[Standing, CheckResult] = {
    OPEN: "open",
    PERFORMED: "met",
    OMITTED: "violated",
    UNSEEN: "cannot_tell",
    EXCUSED: "not_applicable",
}


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
            checks.append(_hazard(rule, sheet.hazards))
        else:
            checks.append(_within(rule, sheet))
    return tuple(checks)


def checks_of_case(
    plan: Plan, checks: tuple[Check, ...], case: Tally
) -> tuple[Check, ...]:
    """The checks of a best or worst case, from those of the sheet.

    What was filled in has no part in an order, and no rule but a count reads another
    element, so only critical elements and counts are read anew.
    """
    again = [_critical(case, critical) for critical in plan.criticals]
    for ready, check in zip(plan.rules, checks[len(again) :], strict=True):
        rule = ready.rule
        again.append(
            _at_least(case, ready, rule) if isinstance(rule, AtLeast) else check
        )
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
    index, key, effect = critical
    result = CRITICAL[tally.standings[index]]
    if result == "violated" or result == "cannot_tell":
        at = tally.marks[index].at
        return Check(key, "critical", effect, result, (key,), at, (key,))
    return Check(key, "critical", effect, result, (key,))


def _at_least(tally: Tally, ready: ReadyRule, rule: AtLeast) -> Check:
    standings = [tally.standings[index] for index in ready.of]
    left = len(standings) - standings.count(EXCUSED)
    count = min(rule.count, left)
    performed = standings.count(PERFORMED)
    unseen = standings.count(UNSEEN)
    unmarked = standings.count(OPEN)
    result: CheckResult = "open"
    blamed = None
    if not left:
        result = "not_applicable"
    elif performed >= count:
        result = "met"
    elif performed + unseen + unmarked < count:
        result, blamed = "violated", OMITTED
    elif performed + unmarked < count <= performed + unseen:
        result, blamed = "cannot_tell", UNSEEN
    decisive = tuple(
        key
        for key, standing in zip(ready.keys, standings, strict=True)
        if standing is blamed
    )
    return Check(
        rule.key,
        rule.kind,
        rule.effect,
        result,
        _not_excused(tally, ready),
        decisive=decisive,
    )


def _before(
    plan: Plan, tally: Tally, ready: ReadyRule, rule: Before, ruling: Ruling | None
) -> Check:
    order = order_of(tally, ready, rule)
    result = order.result
    if ruling is not None and order.live:
        result = ruling.result
    elif result in ("violated", "not_checked") and rule.effect.kind != "flag":
        result = "awaited"
    agreed = result in (order.result, "awaited")
    return Check(
        rule.key,
        rule.kind,
        rule.effect,
        result,
        _not_excused(tally, ready),
        order.at if agreed else None,
        tuple(plan.elements[i].key for i in order.decisive) if agreed else (),
    )


def _hazard(rule: Hazard, hazards: tuple[Sighting, ...]) -> Check:
    sightings = [sighting for sighting in hazards if sighting.rule == rule.key]
    counting = [
        sighting
        for sighting in sightings
        if sighting.confirmed or rule.effect.kind == "flag"
    ]
    result: CheckResult = "met"
    if sightings:
        result = "violated" if counting else "awaited"
    times = [s.at for s in counting or sightings if s.at is not None]
    at = min(times, default=None)
    return Check(rule.key, rule.kind, rule.effect, result, at=at)


def _within(rule: Within, sheet: Sheet) -> Check:
    if sheet.length_seconds is None:
        return Check(rule.key, rule.kind, rule.effect, "not_checked")
    allowed = allowed_seconds(rule, sheet)
    end = Fraction(sheet.start_at) + allowed
    if Fraction(sheet.length_seconds) <= end:
        return Check(rule.key, rule.kind, rule.effect, "met")
    at = Decimal(end.numerator) / end.denominator
    return Check(rule.key, rule.kind, rule.effect, "violated", at=at)


def allowed_seconds(rule: Within, sheet: Sheet) -> Fraction:
    """How long a recording may run, the student's own extra minutes included."""
    return (rule.minutes + Fraction(sheet.extra_minutes)) * 60


def _not_excused(tally: Tally, ready: ReadyRule) -> tuple[str, ...]:
    return tuple(
        key
        for index, key in zip(ready.of, ready.keys, strict=True)
        if tally.standings[index] is not EXCUSED
    )
