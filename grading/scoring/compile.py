"""A definition into its plan."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache, partial
from itertools import accumulate, pairwise
from math import lcm
from weakref import ref

from grading.scoring.plan import (
    Answer,
    Critical,
    Part,
    Plan,
    ReadyRule,
    Standing,
    ratio,
)
from grading.scoring.result import Check, CheckResult, SectionFigure
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

CRITICAL: dict[Standing, CheckResult] = {
    Standing.OPEN: "open",
    Standing.PERFORMED: "met",
    Standing.OMITTED: "violated",
    Standing.UNSEEN: "cannot_tell",
    Standing.EXCUSED: "not_applicable",
}

# The standings that a check tells the moment and the element of.
TOLD = (Standing.OMITTED, Standing.UNSEEN)

_plans: dict[int, tuple[ref[Definition], Plan]] = {}


def plan_of(definition: Definition) -> Plan:
    """The definition's plan, made the first time it is asked for.

    Kept by identity and let go with the definition: comparing two definitions by
    value costs more than scoring a sheet.
    """
    name = id(definition)
    kept = _plans.get(name)
    if kept is None:
        forget = ref(definition, lambda _: _plans.pop(name, None))
        kept = _plans[name] = (forget, compile_plan(definition))
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
    answers = {
        element.key: _answers(position, element, credits[position], scale)
        for position, element in enumerate(elements)
    }
    starts = accumulate((len(s.elements) for s in definition.sections), initial=0)
    return Plan(
        scale=scale,
        elements=elements,
        index=definition.index,
        sections=definition.sections,
        slices=tuple(slice(start, end) for start, end in pairwise(starts)),
        section_of=tuple(
            number
            for number, section in enumerate(definition.sections)
            for _ in section.elements
        ),
        weights=tuple(int(element.points * scale) for element in elements),
        answers=answers,
        best=tuple(
            answers[e.key][len(e.levels) if e.levels else State.DONE] for e in elements
        ),
        worst=tuple(answers[e.key][1 if e.levels else State.MISSED] for e in elements),
        criticals=tuple(
            _critical(position, element.key, element.critical)
            for position, element in enumerate(elements)
            if element.critical is not None
        ),
        rules=tuple(_ready(definition, rule) for rule in definition.rules),
        rule_kinds={rule.key: rule.kind for rule in definition.rules},
        subjects=(*(e for e in elements if e.critical is not None), *definition.rules),
        pass_percent=definition.pass_percent,
        section_figure=lru_cache(maxsize=4096)(
            partial(_section_figure, definition.sections, scale)
        ),
    )


def credits_of(definition: Definition, element: Element) -> dict[State | int, Fraction]:
    """The credit of every state that earns or loses points; of every level, from 1."""
    if element.levels:
        return {number: level.credit for number, level in enumerate(element.levels, 1)}
    own, rubric = element.credit, definition.credit
    return {
        State.DONE: Fraction(1),
        State.PARTLY: _first(own.partly, rubric.partly, Fraction(1, 2)),
        State.SAID: _first(own.said, rubric.said, Fraction(0)),
        State.MISSED: Fraction(0),
    }


def _first(
    own: Fraction | None, rubric: Fraction | None, default: Fraction
) -> Fraction:
    if own is not None:
        return own
    return default if rubric is None else rubric


def _answers(
    position: int,
    element: Element,
    credits: Mapping[State | int, Fraction],
    scale: int,
) -> dict[State | int | None, Answer]:
    weight = int(element.points * scale)
    answers: dict[State | int | None, Answer] = {
        state: Answer(
            position,
            weight,
            int(element.points * credit * scale),
            Standing.PERFORMED if credit > 0 else Standing.OMITTED,
            credit,
        )
        for state, credit in credits.items()
    }
    answers[State.UNSEEN] = Answer(position, 0, 0, Standing.UNSEEN, None)
    answers[State.EXCUSED] = Answer(position, 0, 0, Standing.EXCUSED, None)
    return answers


def _critical(position: int, key: str, effect: Effect) -> Critical:
    keys = (key,)
    return Critical(
        position,
        tuple(
            Check(
                key,
                "critical",
                effect,
                CRITICAL[standing],
                elements=keys,
                decisive=keys if standing in TOLD else (),
            )
            for standing in Standing
        ),
    )


def _ready(definition: Definition, rule: Rule) -> ReadyRule:
    of: tuple[int, ...] = ()
    parts: tuple[Part, ...] = ()
    if isinstance(rule, AtLeast):
        of = _positions(definition, rule.of)
    elif isinstance(rule, Before):
        first = _positions(definition, rule.first)
        then = _positions(definition, rule.then)
        of = tuple(sorted(first + then))
        parts = _parts(definition, rule, first, then)
    keys = tuple(definition.elements[position].key for position in of)
    met = Check(rule.key, rule.kind, rule.effect, "met", keys)
    return ReadyRule(rule, met, of, keys, parts)


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


def _section_figure(
    sections: tuple[Section, ...],
    scale: int,
    position: int,
    possible: int,
    gained: int,
) -> SectionFigure:
    section = sections[position]
    percent = ratio(100 * gained, possible) if possible else None
    minimum = section.minimum_percent
    return SectionFigure(
        section.key,
        section.title,
        ratio(possible, scale),
        ratio(gained, scale),
        percent,
        minimum,
        None if percent is None or minimum is None else percent >= minimum,
    )
