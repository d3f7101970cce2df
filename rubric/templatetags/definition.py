"""What a definition says, in words; what is found in it, and what it weighs."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from django import template

from rubric.definition import wording
from rubric.definition.lint import HEADINGS, Finding
from rubric.definition.weights import Weights
from rubric.definition.weights_picture import WeightsPicture, draw

register = template.Library()
register.filter("exact", wording.exact)
register.filter("effect", wording.effect)


@register.filter
def chance(chance: Fraction) -> str:
    """A chance as a percentage, never 0 or 100 where it is neither.

    >>> chance(Fraction(1234, 10000)), chance(Fraction(1, 10000)), chance(Fraction(0))
    ('12.3%', '<0.1%', '0%')
    """
    tenths = round(chance * 1000)
    if chance in (0, 1):
        return f"{tenths // 10}%"
    if chance < Fraction(1, 1000):
        return "<0.1%"
    if chance > Fraction(999, 1000):
        return ">99.9%"
    return f"{tenths / 10:g}%"


@register.filter
def drawn(weights: Weights) -> WeightsPicture:
    return draw(weights)


@register.filter
def of_weight(findings: Iterable[Finding], weight: str) -> list[Finding]:
    return [finding for finding in findings if finding.weight == weight]


@register.filter
def by_rule(findings: Iterable[Finding]) -> list[tuple[str, list[Finding]]]:
    """The findings under the headings of their rules, the rarest rule first: what is
    found everywhere is least worth reading twice.
    """
    groups: dict[str, list[Finding]] = {}
    for finding in findings:
        groups.setdefault(finding.rule, []).append(finding)
    ordered = sorted(groups.items(), key=lambda group: len(group[1]))
    return [(HEADINGS[rule], found) for rule, found in ordered]


@register.filter
def as_json(value: Any) -> str:
    """For a data- attribute; the template escapes it."""
    return json.dumps(value)


@register.filter
def blanked(text: str) -> str:
    """A grid's text with a gap where each of its elements names its own place.

    >>> blanked("Feels the {site} pulse, {side}")
    'Feels the … pulse, …'
    """
    return re.sub(r"\{(?:site|side|instrument)\}", "…", text)
