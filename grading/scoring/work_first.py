"""What a student works on first: at most three things, the weightiest first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Literal

from grading.scoring.points import credit_of
from grading.scoring.result import Check
from grading.scoring.sheet import Mark
from rubric.definition.grids import AXES, expand
from rubric.definition.values import Definition, Effect, Element, Grid, Rule, State

Way = Literal[
    "missed",
    "said",
    "partly",
    "level",
    "several",
    "at_least",
    "before",
    "hazard",
    "within",
]

RANKS = {"fail": 0, "cap": 1, "deduct": 2}
NO_RANK = 3  # a flag changes nothing, so it weighs what its points weigh
NAMED = 3
_WAYS: dict[State, Way] = {
    State.MISSED: "missed",
    State.SAID: "said",
    State.PARTLY: "partly",
    State.LEVEL: "level",
}


@dataclass(frozen=True, slots=True)
class WorkOn:
    """One thing to work on.

    `what` is the rubric's own words; `way` how the points went: the state of the
    elements, `several` where they differ, or the kind of rule. `lost` are points,
    `effect` that of the critical element or rule violated, `at` the earliest moment in
    seconds. `elements` are keys in exam order; `again` those of them that were
    omitted in the last attempt too.
    """

    what: str
    way: Way
    lost: Fraction
    effect: Effect | None
    at: Decimal | None
    elements: tuple[str, ...]
    again: tuple[str, ...]


@dataclass(slots=True)
class _Candidate:
    """`position` in exam order; a rule without elements comes after all of them."""

    marks: list[Mark]
    position: int
    lost: Fraction = Fraction(0)
    effect: Effect | None = None
    rule: Rule | None = None
    at: Decimal | None = None


def work_first(
    definition: Definition,
    marks: Iterable[Mark],
    checks: Sequence[Check],
    omitted_before: Collection[str] = (),
    most: int = 3,
) -> tuple[WorkOn, ...]:
    """Choose from violated criticals, rules and hazards, and from groups by points lost.

    A group is a site grid, or else a single element. A violated count takes in the
    groups that lost points within it, so that one thing is not named twice. Order:
    effect (fail, cap, deduct), then omitted again since the last attempt
    (`omitted_before` holds its keys), then points lost, then exam order. Raises
    ValueError for a mark that the rubric does not allow.
    """
    judged = [
        (mark, credit)
        for mark in marks
        if (credit := credit_of(definition, mark)) is not None
    ]
    omitted = {mark.element for mark, credit in judged if credit == 0}
    groups = _groups(definition, judged)
    violated = [check for check in checks if check.result == "violated"]
    criticals = {c.key: c.effect for c in violated if c.kind == "critical"}
    for group in groups.values():
        for mark in group.marks:
            group.effect = _heavier(group.effect, criticals.get(mark.element))
    broken = {check.key: check for check in violated if check.kind != "critical"}
    rules = [
        _of_rule(definition, number, rule, broken[rule.key], groups, omitted)
        for number, rule in enumerate(definition.rules)
        if rule.key in broken
    ]
    candidates = [
        candidate
        for candidate in [*groups.values(), *rules]
        if candidate.lost or candidate.effect
    ]

    def again(candidate: _Candidate) -> tuple[str, ...]:
        keys = omitted.intersection(omitted_before)
        return tuple(mark.element for mark in candidate.marks if mark.element in keys)

    candidates.sort(key=lambda c: (_rank(c.effect), not again(c), -c.lost, c.position))
    return tuple(
        WorkOn(
            what=candidate.rule.text
            if candidate.rule
            else _said_together(definition, candidate.marks),
            way=_way(candidate),
            lost=candidate.lost,
            effect=candidate.effect,
            at=candidate.at,
            elements=tuple(mark.element for mark in candidate.marks),
            again=again(candidate),
        )
        for candidate in candidates[:most]
    )


def _groups(
    definition: Definition, judged: list[tuple[Mark, Fraction]]
) -> dict[str, _Candidate]:
    """The marks that earned less than everything, by grid or element, in exam order."""
    groups: dict[str, _Candidate] = {}
    for mark, credit in sorted(
        judged, key=lambda pair: definition.index[pair[0].element]
    ):
        if credit == 1:
            continue
        position = definition.index[mark.element]
        element = definition.elements[position]
        group = groups.setdefault(element.grid or element.key, _Candidate([], position))
        group.marks.append(mark)
        group.lost += element.points * (1 - credit)
        group.at = _earlier(group.at, mark.at)
    return groups


def _of_rule(
    definition: Definition,
    number: int,
    rule: Rule,
    check: Check,
    groups: dict[str, _Candidate],
    omitted: set[str],
) -> _Candidate:
    """The candidate of a violated rule; takes the groups that it stands for."""
    candidate = _Candidate([], len(definition.elements) + number, rule=rule)
    candidate.effect, candidate.at = check.effect, check.at
    if rule.kind != "at_least":
        return candidate
    read = omitted.intersection(check.elements)
    for name, group in list(groups.items()):
        keys = {mark.element for mark in group.marks}
        if keys & read and keys <= set(check.elements):
            candidate.marks += group.marks
            candidate.lost += group.lost
            candidate.effect = _heavier(candidate.effect, group.effect)
            candidate.at = _earlier(candidate.at, group.at)
            candidate.position = min(candidate.position, group.position)
            del groups[name]
    return candidate


def _rank(effect: Effect | None) -> int:
    return RANKS.get(effect.kind, NO_RANK) if effect else NO_RANK


def _heavier(one: Effect | None, other: Effect | None) -> Effect | None:
    return min((one, other), key=lambda e: (_rank(e), e is None))


def _earlier(one: Decimal | None, other: Decimal | None) -> Decimal | None:
    return min((at for at in (one, other) if at is not None), default=None)


def _way(candidate: _Candidate) -> Way:
    if candidate.rule:
        return candidate.rule.kind
    states = {mark.state for mark in candidate.marks}
    return _WAYS[states.pop()] if len(states) == 1 else "several"


def _said_together(definition: Definition, marks: list[Mark]) -> str:
    """The elements in as few of the rubric's own words as say no more than they are.

    Cells of a grid that fill a block of it share one text: "Feels the radial pulse,
    left and right".
    """
    elements = [definition.elements[definition.index[m.element]] for m in marks]
    if len(elements) > 1 and (grid := _grid_of(definition, elements[0])):
        axes = [
            tuple(dict.fromkeys(getattr(element, axis) for element in elements))
            for axis in AXES
        ]
        cells = {tuple(getattr(e, axis) for axis in AXES) for e in elements}
        if cells == set(product(*axes)):
            sites, sides, instruments = (_joined(names) for names in axes)
            whole = replace(grid, sites=sites, sides=sides, instruments=instruments)
            return expand(whole)[0].text
    texts = [element.text for element in elements[:NAMED]]
    if len(elements) > NAMED:
        texts.append(f"and {len(elements) - NAMED} more")
    return "; ".join(texts)


def _grid_of(definition: Definition, element: Element) -> Grid | None:
    parts = (part for section in definition.sections for part in section.parts)
    return next(
        (p for p in parts if isinstance(p, Grid) and p.key == element.grid), None
    )


def _joined(names: tuple[str | None, ...]) -> tuple[str, ...]:
    """One name that says them all, or none where the grid has no such axis."""
    words = [name for name in names if name]
    if len(words) > 1:
        words = [f"{', '.join(words[:-1])} and {words[-1]}"]
    return tuple(words)
