"""Advice on rules, and on how the parts of a rubric weigh together."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from statistics import median

from rubric.definition.layout import decimal_text
from rubric.definition.lint.finding import Finding, Mend, advice
from rubric.definition.lint.parts import is_english
from rubric.definition.lint.words import regions
from rubric.definition.selectors import select
from rubric.definition.values import (
    AtLeast,
    Before,
    Definition,
    Element,
    Grid,
    Rule,
    Within,
)
from rubric.faults import Place

MOST_A_MINUTE = 10
MINUTES = 20  # of a recording, where no rule says
FEWEST_CRITICALS = 4  # below this, most of them in one section says nothing
TIMES_THE_MEDIAN = 3  # how many points make an element stand out


def of_rule(definition: Definition, rule: Rule, place: Place) -> Iterator[Finding]:
    if isinstance(rule, Before) and rule.per is None:
        yield from _order_by_side(definition, rule, place)


def of_rubric(definition: Definition) -> Iterator[Finding]:
    yield from _most_criticals(definition)
    yield from _too_many_a_minute(definition)
    yield from _one_decides(definition)


def _order_by_side(
    definition: Definition, rule: Before, place: Place
) -> Iterator[Finding]:
    """First and then both have two sides, so that doing all of one side before the
    other breaks the rule. Not where they lie in different sections, nor (in English)
    in different regions of the body: arms before feet means both arms.
    """
    first, then = (
        [definition.elements[definition.index[key]] for key in select(definition, of)]
        for of in (rule.first, rule.then)
    )
    shared = _sides(first) & _sides(then)
    if len(shared) < 2:
        return
    home = _section_of(definition)
    if {home[e.key] for e in first}.isdisjoint(home[e.key] for e in then):
        return
    if is_english(definition):
        here, there = regions(first), regions(then)
        if here and there and here.isdisjoint(there):
            return
    words = "Whoever does all of one side, then all of the other, breaks this rule."
    mend = None
    if all(element.side for element in (*first, *then)):
        mend = Mend("Read it for each side", place, {"per": "side"})
    else:
        words += " Make a rule of the elements that have a side, read for each side."
    yield advice("order-by-side", place, "per", words, mend)


def _section_of(definition: Definition) -> dict[str, int]:
    """The number of the section, by the key of each of its elements."""
    return {e.key: s for s, sec in enumerate(definition.sections) for e in sec.elements}


def _sides(elements: list[Element]) -> set[str]:
    return {element.side for element in elements if element.side}


def _most_criticals(definition: Definition) -> Iterator[Finding]:
    """More than half of what can change the outcome, with less than half of the points."""
    of_section = [
        sum(
            element.critical is not None and element.critical.kind != "flag"
            for element in section.elements
        )
        for section in definition.sections
    ]
    home = _section_of(definition)
    for rule in definition.rules:
        if isinstance(rule, AtLeast) and rule.effect.kind != "flag":
            homes = {home[key] for key in select(definition, rule.of)}
            if len(homes) == 1:
                of_section[homes.pop()] += 1
    total = sum(of_section)
    points = [
        sum(e.points for e in section.elements) for section in definition.sections
    ]
    for s, section in enumerate(definition.sections):
        if (
            total < FEWEST_CRITICALS
            or 2 * of_section[s] <= total
            or 2 * points[s] >= sum(points)
        ):
            continue
        share = round(100 * points[s] / sum(points))
        words = (
            f"{section.title} carries {_plain(points[s])} of {_plain(sum(points))} points "
            f"({share}%) and {of_section[s]} of {total} criticals."
        )
        yield advice("most-criticals", ("sections", s), None, words)


def _too_many_a_minute(definition: Definition) -> Iterator[Finding]:
    place: Place = ()
    key, minutes = None, Fraction(MINUTES)
    limits = [
        (rule.minutes, r)
        for r, rule in enumerate(definition.rules)
        if isinstance(rule, Within)
    ]
    if limits:
        minutes, r = min(limits)
        place, key = ("rules", r), "minutes"
    elements = len(definition.elements)
    if elements > MOST_A_MINUTE * minutes:
        words = (
            f"{elements} elements in {_plain(minutes)} minutes: more than "
            f"{MOST_A_MINUTE} a minute can hardly be marked."
        )
        yield advice("too-many-a-minute", place, key, words)


def _one_decides(definition: Definition) -> Iterator[Finding]:
    """Elements with many times the usual points, without which nobody can pass.

    Criticals that fail the exam are left out: they are meant to decide.
    """
    total = sum(element.points for element in definition.elements)
    usual = median(element.points for element in definition.elements)
    needed = definition.pass_percent
    for s, section in enumerate(definition.sections):
        for p, part in enumerate(section.parts):
            element = part.elements[0] if isinstance(part, Grid) else part
            rest = total - element.points
            if (
                (element.critical is not None and element.critical.kind == "fail")
                or element.points < TIMES_THE_MEDIAN * usual
                or 100 * rest >= needed * total
            ):
                continue
            place = ("sections", s, "parts", p)
            words = (
                f"{_plain(element.points)} of {_plain(total)} points: whoever misses "
                "only this cannot pass."
            )
            # The most whole points that leave the rest enough to pass with.
            most = int(rest * (100 - needed) / needed)
            mend = None
            if most > 0 and isinstance(part, Element):
                mend = Mend(f"Give it {most} points", place, {"points": most})
            yield advice("one-decides", place, "points", words, mend)


def _plain(number: Fraction | int) -> str:
    """In decimals, rounded to two places where there are more."""
    return decimal_text(Fraction(round(number * 100), 100))
