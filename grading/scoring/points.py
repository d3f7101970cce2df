"""Points: what the marks of a sheet add up to, whole and by section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.scoring.plan import Answer, Plan, Standing, plan_of, ratio
from grading.scoring.result import SectionFigure
from grading.scoring.sheet import Mark, Sheet
from rubric.definition.values import Definition, State

SET_ASIDE = (Standing.UNSEEN, Standing.EXCUSED)


@dataclass(slots=True)
class Tally:
    """Sums of one sheet, scaled as its plan, by section; standings and marks by position."""

    standings: list[Standing]
    marks: dict[int, Mark]
    possible: list[int]
    gained: list[int]
    unseen: int = 0
    excused: int = 0


def tally_of(plan: Plan, sheet: Sheet) -> Tally:
    """Add up a sheet.

    Raises ValueError for a mark that the rubric does not allow, and for an element
    marked twice: a reader or the store has to refuse these first.
    """
    standings = [Standing.OPEN] * len(plan.elements)
    marks: dict[int, Mark] = {}
    possible = [0] * len(plan.sections)
    gained = [0] * len(plan.sections)
    aside = []
    answers = plan.answers
    level, unseen, excused = State.LEVEL, Standing.UNSEEN, Standing.EXCUSED
    for mark in sheet.marks:
        state = mark.state
        try:
            answer = answers[mark.element][mark.level if state is level else state]
        except KeyError:
            raise not_allowed(mark) from None
        index, section, weight, gain, standing, _ = answer
        standings[index] = standing
        marks[index] = mark
        possible[section] += weight
        gained[section] += gain
        if standing is unseen or standing is excused:
            aside.append(answer)
    if len(marks) < len(sheet.marks):
        raise ValueError("an element is marked twice")
    tally = Tally(standings, marks, possible, gained)
    for answer in aside:
        if answer.standing is unseen:
            tally.unseen += plan.weights[answer.position]
        else:
            tally.excused += plan.weights[answer.position]
    return tally


def filled(tally: Tally, answers: Sequence[Answer]) -> Tally:
    """The same sheet with every unseen mark replaced by its answer in `answers`."""
    case = Tally(
        tally.standings.copy(),
        tally.marks,
        tally.possible.copy(),
        tally.gained.copy(),
        excused=tally.excused,
    )
    for index, standing in enumerate(tally.standings):
        if standing is Standing.UNSEEN:
            answer = answers[index]
            case.standings[index] = answer.standing
            case.possible[answer.section] += answer.weight
            case.gained[answer.section] += answer.gain
    return case


def percent_of(gained: int, possible: int) -> Fraction | None:
    """100 x gained / possible; None where nothing is possible."""
    return ratio(100 * gained, possible) if possible else None


def section_figures(plan: Plan, tally: Tally) -> tuple[SectionFigure, ...]:
    figures = []
    for section, possible, gained in zip(
        plan.sections, tally.possible, tally.gained, strict=True
    ):
        percent = percent_of(gained, possible)
        minimum = section.minimum_percent
        figures.append(
            SectionFigure(
                section.key,
                section.title,
                plan.points(possible),
                plan.points(gained),
                percent,
                minimum,
                None if percent is None or minimum is None else percent >= minimum,
            )
        )
    return tuple(figures)


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
    return None if answer.standing in SET_ASIDE else answer


def not_allowed(mark: Mark) -> ValueError:
    return ValueError(f"the rubric does not allow {mark}")
