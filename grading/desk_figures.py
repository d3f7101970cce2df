"""The running result as the desk shows it: what waits, what is violated, and the total.

The one scorer has worked it out; nothing is added up here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from grading.moments import as_clock
from grading.scoring import Check, Result
from grading.scoring.shown import points_shown, shown
from grading.scoring.wording import STATE_WORDS, consequence
from rubric.definition import Definition, Element, Rule, State

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
    result = marking.result()
    early = marking.assignment.shows_figures_early
    given = not result.open.elements and not result.open.global_rating
    return {
        "checks": list(running_checks(marking, result)),
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


def running_checks(marking: Marking, result: Result) -> Iterator[dict[str, Any]]:
    """Checks that are violated or wait for the marker, and orders that were ruled on."""
    definition = marking.definition
    rules = {rule.key: rule for rule in definition.rules}
    rulings = marking.values("ruling")
    for check in result.checks:
        ruling = rulings.get(check.key) if check.kind == "before" else None
        if check.result not in {"violated", "awaited"} and not ruling:
            continue
        subject = (
            _element(definition, check.key)
            if check.kind == "critical"
            else rules[check.key]
        )
        yield {
            "key": check.key,
            "kind": check.kind,
            "result": check.result,
            "effect": check.effect.kind,
            "consequence": consequence(check.effect),
            "text": _text(marking, subject, check),
            "elements": list(check.decisive) or list(check.elements[:1]),
            "at": None if check.at is None else float(check.at),
            "ruling": ruling,
        }


def _element(definition: Definition, key: str) -> Element:
    return definition.elements[definition.index[key]]


def _text(marking: Marking, subject: Element | Rule, check: Check) -> str:
    """One sentence, or for an order that waits the question to rule on."""
    if check.kind == "critical":
        value = marking.values("element")[check.key]
        return (
            f"{subject.text}: {STATE_WORDS.get(State(value['state']), 'lowest level')}."
        )
    if check.kind == "before":
        return f"{subject.text}: {_order(marking, check)}"
    if check.kind == "hazard" and check.result == "awaited":
        return f"{subject.text}: a second person's word is awaited."
    if check.at is not None:
        return f"{subject.text}: at {as_clock(check.at)}."
    return f"{subject.text}."


def _order(marking: Marking, check: Check) -> str:
    marks = marking.values("element")
    named = []
    for key in check.decisive:
        at = marks[key]["at"] if key in marks else None
        when = "" if at is None else f" ({as_clock(at)})"
        named.append(f"{_element(marking.definition, key).text}{when}")
    if check.at is not None and len(named) > 1:
        return f"the times say {named[0]} came before {named[1]}."
    if named:
        return f"no time is known for {' and '.join(named)}."
    return "as ruled."
