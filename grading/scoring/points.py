"""Points: what the marks of a sheet add up to, and what a single mark earns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.scoring.compile import plan_of
from grading.scoring.plan import Answer, Plan, Standing
from grading.scoring.sheet import Mark, Sheet
from rubric.definition.values import Definition, State

OPEN, UNSEEN, EXCUSED = Standing.OPEN, Standing.UNSEEN, Standing.EXCUSED
NO_MARK = Mark("", State.UNSEEN)


@dataclass(slots=True)
class Tally:
    """One sheet by element position (where OPEN, its mark is NO_MARK), and its sums by
    section, scaled as its plan. `unseen` and `excused` are sums of the whole; `kinds`
    are the standings that occur at all.
    """

    standings: list[Standing]
    kinds: set[Standing]
    marks: list[Mark]
    possible: list[int]
    gained: list[int]
    unseen: int
    excused: int


def tally_of(plan: Plan, sheet: Sheet) -> Tally:
    """Add up a sheet.

    Raises ValueError for a mark that the rubric does not allow, and for an element
    marked twice: a reader or the store has to refuse these first.
    """
    count = len(plan.elements)
    standings = [OPEN] * count
    marks = [NO_MARK] * count
    weights, gains = [0] * count, [0] * count
    answers, level = plan.answers, State.LEVEL
    for mark in sheet.marks:
        state = mark.state
        try:
            answer = answers[mark.element][mark.level if state is level else state]
        except KeyError:
            raise not_allowed(mark) from None
        position, weight, gain, standing, _ = answer
        standings[position] = standing
        marks[position] = mark
        weights[position] = weight
        gains[position] = gain
    if standings.count(OPEN) + len(sheet.marks) > count:
        raise ValueError("an element is marked twice")
    kinds = set(standings)
    return Tally(
        standings,
        kinds,
        marks,
        possible=[sum(weights[section]) for section in plan.slices],
        gained=[sum(gains[section]) for section in plan.slices],
        unseen=_weight(plan, standings, UNSEEN) if UNSEEN in kinds else 0,
        excused=_weight(plan, standings, EXCUSED) if EXCUSED in kinds else 0,
    )


def _weight(plan: Plan, standings: list[Standing], wanted: Standing) -> int:
    return sum(
        weight
        for weight, standing in zip(plan.weights, standings, strict=True)
        if standing is wanted
    )


def filled(plan: Plan, tally: Tally, answers: Sequence[Answer]) -> Tally:
    """The same sheet with every unseen mark replaced by its answer in `answers`."""
    standings = tally.standings.copy()
    possible, gained = tally.possible.copy(), tally.gained.copy()
    for position in [i for i, found in enumerate(standings) if found is UNSEEN]:
        _, weight, gain, standings[position], _ = answers[position]
        section = plan.section_of[position]
        possible[section] += weight
        gained[section] += gain
    kinds = set(standings)
    return Tally(standings, kinds, tally.marks, possible, gained, 0, tally.excused)


def credit_of(definition: Definition, mark: Mark) -> Fraction | None:
    """The share of its points (0 to 1) that a mark earns; 0 is an omission.

    None for unseen and excused, which leave the sum. Raises ValueError for a mark
    that the rubric does not allow.
    """
    answer = _answer(plan_of(definition), mark)
    return None if answer is None else answer.credit


def earned(definition: Definition, mark: Mark) -> Fraction | None:
    """The points that a mark earns; None for unseen and excused. Errors as `credit_of`."""
    plan = plan_of(definition)
    answer = _answer(plan, mark)
    return None if answer is None else plan.points(answer.gain)


def _answer(plan: Plan, mark: Mark) -> Answer | None:
    state = mark.level if mark.state is State.LEVEL else mark.state
    try:
        answer = plan.answers[mark.element][state]
    except KeyError:
        raise not_allowed(mark) from None
    return None if answer.credit is None else answer


def not_allowed(mark: Mark) -> ValueError:
    return ValueError(f"the rubric does not allow {mark}")
