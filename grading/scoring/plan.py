"""An edition made ready for scoring: whole numbers over one common denominator.

Shared points need not end in decimals (4 over 3 elements), so every weight and every
gain is multiplied by the least number that makes all of them whole. Sums of a sheet
are then sums of integers, exact and quick; `Plan.points` turns them back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import NamedTuple
from weakref import ref

from rubric.definition.selectors import select
from rubric.definition.values import (
    AtLeast,
    Before,
    Definition,
    Effect,
    Element,
    Rule,
    Section,
    State,
)

HALF = Fraction(1, 2)


class Standing(IntEnum):
    """What a mark means to a rule: only its credit counts, not its points."""

    OPEN = 0
    PERFORMED = 1
    OMITTED = 2
    UNSEEN = 3
    EXCUSED = 4


class Answer(NamedTuple):
    """What one state of one element adds: to its section's sums, and to the rules."""

    position: int
    section: int
    weight: int
    gain: int
    standing: Standing
    credit: Fraction | None = None


Part = tuple[tuple[int, ...], tuple[int, ...]]


class Critical(NamedTuple):
    """A critical element, by position, with its effect taken out."""

    position: int
    key: str
    effect: Effect


class ReadyRule(NamedTuple):
    """A rule with its selectors resolved to positions in exam order.

    `of` are the elements it reads; `parts` are the pairs (first, then) of a `before`,
    one for each value of its axis.
    """

    rule: Rule
    of: tuple[int, ...] = ()
    keys: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True)
class Plan:
    """What `score` needs of a definition, looked up once.

    `answers` holds for each element key what each state (or level number) adds;
    `best` and `worst` what an unseen element adds when it is taken as done or missed.
    `subjects` runs parallel to a result's checks: critical elements, then rules.
    """

    scale: int
    elements: tuple[Element, ...]
    index: Mapping[str, int]
    sections: tuple[Section, ...]
    weights: tuple[int, ...]
    answers: Mapping[str, Mapping[State | int | None, Answer]]
    best: tuple[Answer, ...]
    worst: tuple[Answer, ...]
    criticals: tuple[Critical, ...]
    rules: tuple[ReadyRule, ...]
    rule_kinds: Mapping[str, str]
    subjects: tuple[Element | Rule, ...]
    minimums: tuple[tuple[int, Fraction], ...]
    pass_percent: Fraction

    def points(self, scaled: int) -> Fraction:
        """Points from a sum of weights or gains."""
        return ratio(scaled, self.scale)


@lru_cache(maxsize=8192)
def ratio(above: int, below: int) -> Fraction:
    """A fraction; kept, because the sums of one edition's sheets come again and again."""
    return Fraction(above, below)


_plans: dict[int, tuple[ref[Definition], Plan]] = {}


def plan_of(definition: Definition) -> Plan:
    """The definition's plan, made the first time it is asked for.

    Kept by identity and let go with the definition: comparing two definitions by
    value costs more than scoring a sheet.
    """
    name = id(definition)
    kept = _plans.get(name)
    if kept is None:
        kept = (
            ref(definition, lambda _: _plans.pop(name, None)),
            compile_plan(definition),
        )
        _plans[name] = kept
    return kept[1]


def compile_plan(definition: Definition) -> Plan:
    elements = definition.elements
    credits = [credits_of(definition, element) for element in elements]
    scale = lcm(
        *(element.points.denominator for element in elements),
        *(
            (element.points * credit).denominator
            for element, by_state in zip(elements, credits, strict=True)
            for credit in by_state.values()
        ),
    )
    section_of = tuple(
        number
        for number, section in enumerate(definition.sections)
        for _ in section.elements
    )
    answers = {
        element.key: _answers(index, section_of[index], element, credits[index], scale)
        for index, element in enumerate(elements)
    }
    return Plan(
        scale=scale,
        elements=elements,
        index=definition.index,
        sections=definition.sections,
        weights=tuple(int(element.points * scale) for element in elements),
        answers=answers,
        best=tuple(
            answers[e.key][len(e.levels) if e.levels else State.DONE] for e in elements
        ),
        worst=tuple(answers[e.key][1 if e.levels else State.MISSED] for e in elements),
        criticals=tuple(
            Critical(index, element.key, element.critical)
            for index, element in enumerate(elements)
            if element.critical
        ),
        rules=tuple(_ready(definition, rule) for rule in definition.rules),
        subjects=(*(e for e in elements if e.critical), *definition.rules),
        rule_kinds={rule.key: rule.kind for rule in definition.rules},
        minimums=tuple(
            (number, section.minimum_percent)
            for number, section in enumerate(definition.sections)
            if section.minimum_percent is not None
        ),
        pass_percent=definition.pass_percent,
    )


def credits_of(definition: Definition, element: Element) -> dict[State | int, Fraction]:
    """The credit of every state that earns or loses points; of every level, from 1."""
    if element.levels:
        return {number: level.credit for number, level in enumerate(element.levels, 1)}
    partly = _first(element.credit.partly, definition.credit.partly, HALF)
    said = _first(element.credit.said, definition.credit.said, Fraction(0))
    return {
        State.DONE: Fraction(1),
        State.PARTLY: partly,
        State.SAID: said,
        State.MISSED: Fraction(0),
    }


def _first(
    own: Fraction | None, rubric: Fraction | None, default: Fraction
) -> Fraction:
    if own is not None:
        return own
    return default if rubric is None else rubric


def _answers(
    index: int,
    section: int,
    element: Element,
    credits: Mapping[State | int, Fraction],
    scale: int,
) -> dict[State | int | None, Answer]:
    weight = int(element.points * scale)
    answers: dict[State | int | None, Answer] = {
        state: Answer(
            index,
            section,
            weight,
            int(element.points * credit * scale),
            Standing.PERFORMED if credit > 0 else Standing.OMITTED,
            credit,
        )
        for state, credit in credits.items()
    }
    answers[State.UNSEEN] = Answer(index, section, 0, 0, Standing.UNSEEN)
    answers[State.EXCUSED] = Answer(index, section, 0, 0, Standing.EXCUSED)
    return answers


def _ready(definition: Definition, rule: Rule) -> ReadyRule:
    if isinstance(rule, AtLeast):
        of = _positions(definition, rule.of)
        return ReadyRule(rule, of, _keys(definition, of))
    if isinstance(rule, Before):
        first = _positions(definition, rule.first)
        then = _positions(definition, rule.then)
        of = tuple(sorted(first + then))
        parts = _parts(definition, rule, first, then)
        return ReadyRule(rule, of, _keys(definition, of), parts)
    return ReadyRule(rule)


def _keys(definition: Definition, positions: tuple[int, ...]) -> tuple[str, ...]:
    return tuple(definition.elements[index].key for index in positions)


def _positions(definition: Definition, patterns: tuple[str, ...]) -> tuple[int, ...]:
    return tuple(definition.index[key] for key in select(definition, patterns))


def _parts(
    definition: Definition,
    rule: Before,
    first: tuple[int, ...],
    then: tuple[int, ...],
) -> tuple[Part, ...]:
    axis = rule.per
    if axis is None:
        return ((first, then),)
    value = [getattr(element, axis) for element in definition.elements]
    values = dict.fromkeys(value[i] for i in first + then if value[i] is not None)
    return tuple(
        (
            tuple(i for i in first if value[i] == one),
            tuple(i for i in then if value[i] == one),
        )
        for one in values
    )
