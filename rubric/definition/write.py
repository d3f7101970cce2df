"""A Definition into the text of a rubric file; read(write(d)) is d."""

from __future__ import annotations

from rubric.definition.layout import Inline, Value, json_text, yaml_text
from rubric.definition.read import FORMAT
from rubric.definition.values import (
    AtLeast,
    Before,
    Credit,
    Definition,
    Effect,
    Element,
    GlobalRating,
    Grid,
    Rule,
    Section,
    Within,
)


def write_json(definition: Definition) -> str:
    """The rubric as JSON, always the same text for the same definition.

    Raises ValueError for a number that does not end in decimals.
    """
    return json_text(_rubric(definition))


def write_yaml(definition: Definition) -> str:
    """The rubric as YAML for people to read and change.

    Raises ValueError for a number that does not end in decimals.
    """
    return yaml_text(_rubric(definition))


def _rubric(definition: Definition) -> dict[str, Value]:
    return {
        "format": FORMAT,
        "title": definition.title,
        "language": definition.language,
        "pass_percent": definition.pass_percent,
        "unseen_limit_percent": definition.unseen_limit_percent,
        "unseen": definition.unseen,
        "credit": _credit(definition.credit),
        "global_rating": _global_rating(definition.global_rating),
        "sections": [_section(section) for section in definition.sections],
        "rules": [_rule(rule) for rule in definition.rules],
    }


def _credit(credit: Credit) -> Value:
    return Inline(partly=credit.partly, said=credit.said)


def _global_rating(rating: GlobalRating | None) -> Value:
    if rating is None:
        return None
    return {"words": rating.words, "borderline": rating.borderline}


def _section(section: Section) -> Value:
    """Elements and grids in their two lists, unless a grid comes before an element."""
    elements = [part for part in section.parts if isinstance(part, Element)]
    grids = [part for part in section.parts if isinstance(part, Grid)]
    head = {
        "key": section.key,
        "title": section.title,
        "minimum_percent": section.minimum_percent,
    }
    if (*elements, *grids) == section.parts:
        return {
            **head,
            "elements": [_element(element) for element in elements],
            "grids": [_grid(grid) for grid in grids],
        }
    return {
        **head,
        "parts": [
            _grid(part) if isinstance(part, Grid) else _element(part)
            for part in section.parts
        ],
    }


def _element(element: Element) -> Value:
    return {
        "key": element.key,
        "text": element.text,
        "technique": element.technique,
        "points": element.points,
        **_in_both(element),
        "levels": [
            Inline(label=level.label, credit=level.credit) for level in element.levels
        ],
    }


def _grid(grid: Grid) -> Value:
    return {
        "key": grid.key,
        "text": grid.text,
        "technique": grid.technique,
        "sites": grid.sites,
        "sides": grid.sides,
        "instruments": grid.instruments,
        "points": grid.points,
        "points_shared": grid.points_shared,
        **_in_both(grid),
    }


def _in_both(part: Element | Grid) -> dict[str, Value]:
    return {
        "critical": _effect(part.critical),
        "credit": _credit(part.credit),
        "expects": part.expects,
        "source": part.source,
        "may_excuse": part.may_excuse,
        "say": part.say,
    }


def _effect(effect: Effect | None) -> Value:
    if effect is None:
        return None
    if effect.amount is None:
        return effect.kind
    return Inline({effect.kind: effect.amount})


def _rule(rule: Rule) -> Value:
    its_own: dict[str, Value] = {}
    if isinstance(rule, AtLeast):
        its_own = {"count": rule.count, "of": rule.of}
    elif isinstance(rule, Before):
        slack = rule.slack_seconds
        its_own = {
            "first": rule.first,
            "then": rule.then,
            "per": rule.per,
            "slack_seconds": None if slack == Before.slack_seconds else slack,
        }
    elif isinstance(rule, Within):
        its_own = {"minutes": rule.minutes}
    return {
        "key": rule.key,
        "kind": rule.kind,
        **its_own,
        "effect": _effect(rule.effect),
        "text": rule.text,
    }
