"""From a sheet to its result: the order of outcomes, and the best and worst case.

Where the contract leaves room:

- With nothing possible there is no percent; a best or worst case in which nothing is
  possible is `not_yet`, since nothing was shown that could pass.
- `deducted` and `cap` of an incomplete sheet are those of the checks violated so far.
- A `within` rule that is not checked (length unknown) is not one that cannot tell: it
  takes no part in the outcome.
"""

from __future__ import annotations

from collections.abc import Sequence

from grading.scoring import reasons
from grading.scoring.checks import checks_of, checks_of_case
from grading.scoring.compile import plan_of
from grading.scoring.plan import Answer, Plan, Standing
from grading.scoring.points import Tally, filled, tally_of
from grading.scoring.result import Case, Check, Open, Outcome, Range, Reason, Result
from grading.scoring.sheet import Sheet
from grading.scoring.verdict import verdict_of
from rubric.definition.values import Definition


def score(definition: Definition, sheet: Sheet) -> Result:
    """Everything that follows from a sheet, complete or still being marked.

    Exact: figures are Fractions, and nothing is rounded before it is compared. Raises
    ValueError for a sheet that does not fit the rubric (an element, level, rule or
    state it does not have, an element marked twice).
    """
    plan = plan_of(definition)
    tally = tally_of(plan, sheet)
    checks = checks_of(plan, sheet, tally)
    verdict = verdict_of(plan, tally, checks)
    left = _open(definition, plan, sheet, tally, checks)
    judged = verdict.case
    facts = reasons.Facts(
        definition, plan, sheet, tally, checks, verdict.sections, judged
    )
    cases = None if left else _range(plan, tally, checks, judged)
    if cases is None:
        outcome, grounds = Outcome.INCOMPLETE, reasons.incomplete(facts, left)
    else:
        outcome, grounds = _decide(facts, cases)
    return Result(
        outcome=outcome,
        possible=plan.points(sum(tally.possible)),
        earned=plan.points(sum(tally.gained)),
        raw=verdict.raw,
        percent=judged.percent if cases else None,
        pass_percent=plan.pass_percent,
        deducted=verdict.deducted,
        cap=judged.cap,
        unseen_points=plan.points(tally.unseen),
        excused_points=plan.points(tally.excused),
        range=cases,
        sections=verdict.sections,
        checks=checks,
        reasons=tuple(grounds),
        open=left,
    )


def _decide(facts: reasons.Facts, cases: Range) -> tuple[Outcome, list[Reason]]:
    """Steps 2 to 7: the first that applies decides, and its grounds come first.

    After them stand what falls short besides and what took points off.
    """
    besides = reasons.shortfalls(facts) + reasons.lowerings(facts)
    if grounds := reasons.failures(facts):
        return Outcome.NOT_YET, grounds + besides
    if grounds := reasons.nothing_possible(facts):
        return Outcome.CANNOT_BE_JUDGED, grounds
    if cases.best.outcome is Outcome.NOT_YET:
        unseen = Standing.UNSEEN in facts.tally.kinds
        grounds = reasons.best_case(cases.best) if unseen else []
        return Outcome.NOT_YET, grounds + besides
    if grounds := reasons.doubts(facts, cases.worst):
        return Outcome.CANNOT_BE_JUDGED, grounds + besides
    if facts.judged.outcome is Outcome.NOT_YET:
        return Outcome.NOT_YET, besides
    return Outcome.PASS, reasons.reached(facts) + besides


def _open(
    definition: Definition,
    plan: Plan,
    sheet: Sheet,
    tally: Tally,
    checks: Sequence[Check],
) -> Open:
    elements: tuple[str, ...] = ()
    if Standing.OPEN in tally.kinds:
        elements = tuple(
            element.key
            for element, standing in zip(plan.elements, tally.standings, strict=True)
            if standing is Standing.OPEN
        )
    awaited = [check for check in checks if check.result == "awaited"]
    return Open(
        elements,
        definition.global_rating is not None and sheet.global_rating is None,
        tuple(check.key for check in awaited if check.kind == "before"),
        tuple(check.key for check in awaited if check.kind == "hazard"),
    )


def _range(plan: Plan, tally: Tally, checks: tuple[Check, ...], judged: Case) -> Range:
    if Standing.UNSEEN not in tally.kinds:
        return Range(worst=judged, best=judged)

    def case(answers: Sequence[Answer]) -> Case:
        full = filled(plan, tally, answers)
        return verdict_of(plan, full, checks_of_case(plan, checks, full)).case

    return Range(worst=case(plan.worst), best=case(plan.best))
