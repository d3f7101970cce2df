"""The running result as the desk shows it: what waits, what is violated, and the total.

The one scorer has worked it out; nothing is added up here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from grading.scoring import Result, Sheet, points_shown, score, shown
from grading.scoring.compile import plan_of
from grading.scoring.points import tally_of
from grading.scoring.wording import consequence, finding
from rubric.definition import Element, Rule

if TYPE_CHECKING:
    from grading.models import Marking

OUTCOMES = {
    "incomplete": "incomplete",
    "not_yet": "not yet",
    "cannot_be_judged": "cannot be judged",
    "pass": "pass",
}


def figures(marking: Marking) -> dict[str, Any]:
    """What a save answers beside its acknowledgements; ready for JSON.

    `total` is None until every element has a state and the rating is given, except in
    practice, where it may be seen earlier.
    """
    sheet = marking.sheet()
    result = score(marking.definition, sheet)
    early = marking.assignment.shows_figures_early
    given = not result.open.elements and not result.open.global_rating
    return {
        "checks": list(running_checks(marking, sheet, result)),
        "words": {ident: word for ident, (_, word) in marking.sightings().items()},
        "is_complete": not result.open,
        "total": _total(result) if given or early else None,
    }


def _total(result: Result) -> dict[str, Any]:
    return {
        "outcome": result.outcome.value,
        "outcome_words": OUTCOMES[result.outcome],
        "earned": points_shown(result.earned),
        "possible": points_shown(result.possible),
        "percent": result.percent_shown
        or (None if result.raw is None else shown(result.raw)),
        "is_final": not result.open,
    }


def running_checks(
    marking: Marking, sheet: Sheet, result: Result
) -> Iterator[dict[str, Any]]:
    """Checks that are violated or wait for the marker, and orders that were ruled on."""
    definition = marking.definition
    plan = plan_of(definition)
    tally = tally_of(plan, sheet)
    rules = {rule.key: rule for rule in definition.rules}
    rulings = marking.values("ruling")
    for check in result.checks:
        ruling = rulings.get(check.key) if check.kind == "before" else None
        if check.result not in {"violated", "awaited"} and not ruling:
            continue
        subject: Element | Rule = (
            definition.elements[definition.index[check.key]]
            if check.kind == "critical"
            else rules[check.key]
        )
        yield {
            "key": check.key,
            "kind": check.kind,
            "result": check.result,
            "effect": check.effect.kind,
            "consequence": consequence(check.effect),
            "text": subject.text
            if ruling
            else finding(plan, sheet, tally, subject, check),
            "elements": check.decisive or check.elements[:1],
            "ruling": ruling,
        }
