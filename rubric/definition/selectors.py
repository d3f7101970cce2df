"""Selectors: a key, or the beginning of keys with `.*` after it."""

from __future__ import annotations

from collections.abc import Iterable

from rubric.definition.keys import is_key
from rubric.definition.values import AtLeast, Before, Definition, Rule

ALLOWED_SELECTOR = "a key, or the beginning of keys with .* after it"


def is_selector(text: str) -> bool:
    return is_key(text.removesuffix(".*"))


def selectors_of(rule: Rule) -> tuple[str, ...]:
    """Every selector of the rule, whatever it does there."""
    if isinstance(rule, AtLeast):
        return rule.of
    return (*rule.first, *rule.then) if isinstance(rule, Before) else ()


def select(definition: Definition, patterns: Iterable[str]) -> tuple[str, ...]:
    """Keys of the elements that any pattern matches, each once, in exam order."""
    whole = set(patterns)
    beginnings = tuple(pattern[:-1] for pattern in whole if pattern.endswith(".*"))
    return tuple(
        element.key
        for element in definition.elements
        if element.key in whole or element.key.startswith(beginnings)
    )
