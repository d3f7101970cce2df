"""A rubric as lines of text: every element in a row, every column in line."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from fractions import Fraction

from rubric.definition.selectors import selectors_of
from rubric.definition.values import (
    AtLeast,
    Before,
    Definition,
    Effect,
    Element,
    Rule,
    Section,
    Within,
)
from rubric.definition.wording import effect, exact

TEXT = 48  # columns of a terminal for an element's text, before it runs on
HEAD = ("element", "technique", "site", "side", "instrument", "points", "if left out")
POINTS = HEAD.index("points")


def listing(definition: Definition) -> str:
    """The exam as a table: sections, elements, rules and what they add up to."""
    rows = [HEAD, *(_cells(element) for element in definition.elements)]
    widths = [max(map(_width, column)) for column in zip(*rows, strict=True)]
    widths[0] = min(widths[0], TEXT)
    lines = [
        definition.title,
        f"pass mark {exact(definition.pass_percent)}%, not seen at most "
        f"{exact(definition.unseen_limit_percent)}%, language {definition.language}",
        "",
        *_row(HEAD, widths),
    ]
    for section in definition.sections:
        lines += ["", _section(section)]
        for element in section.elements:
            lines += _row(_cells(element), widths)
    if definition.rules:
        lines += ["", "rules"]
        for rule in definition.rules:
            lines += [f"  {line}" for line in _rule(rule)]
    return "\n".join([*lines, "", _totals(definition)])


def _cells(element: Element) -> Sequence[str]:
    return (
        element.text,
        element.technique.value,
        element.site or "",
        element.side or "",
        element.instrument or "",
        exact(element.points),
        _critical(element.critical),
    )


def _critical(critical: Effect | None) -> str:
    return "" if critical is None else f"critical, {effect(critical)}"


def _section(section: Section) -> str:
    minimum = section.minimum_percent
    return (
        f"{section.title} ({_counted(len(section.elements), 'element')}, "
        f"{_counted(_points(section.elements), 'point')}"
        f"{'' if minimum is None else f', at least {exact(minimum)}%'})"
    )


def _rule(rule: Rule) -> Iterator[str]:
    yield f"{rule.text} ({rule.kind}, {effect(rule.effect)})"
    if isinstance(rule, AtLeast):
        yield f"  {rule.count} of {', '.join(selectors_of(rule))}"
    elif isinstance(rule, Before):
        per = f", for each {rule.per}" if rule.per else ""
        yield f"  {', '.join(rule.first)}, then {', '.join(rule.then)}{per}"
    elif isinstance(rule, Within):
        yield f"  {_counted(rule.minutes, 'minute')}"


def _totals(definition: Definition) -> str:
    criticals = sum(element.critical is not None for element in definition.elements)
    return ", ".join(
        [
            _counted(len(definition.elements), "element"),
            _counted(_points(definition.elements), "point"),
            f"{criticals} critical",
            _counted(len(definition.rules), "rule"),
        ]
    )


def _points(elements: Sequence[Element]) -> Fraction:
    return sum((element.points for element in elements), Fraction(0))


def _counted(number: Fraction | int, word: str) -> str:
    return f"{exact(number)} {word}{'' if number == 1 else 's'}"


def _row(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """The row in its columns; a long text goes on in the lines below."""
    first, *more = textwrap.wrap(cells[0], widths[0]) or [""]
    padded = [
        " " * (width - _width(cell)) + cell
        if n == POINTS
        else cell + " " * (width - _width(cell))
        for n, (cell, width) in enumerate(zip((first, *cells[1:]), widths, strict=True))
        if width
    ]
    yield f"  {'  '.join(padded)}".rstrip()
    for line in more:
        yield f"  {line}"


def _width(text: str) -> int:
    """Columns of a terminal: none for an accent on its own, two for a wide character."""
    return sum(
        0
        if unicodedata.combining(character)
        else 1 + (unicodedata.east_asian_width(character) in "WF")
        for character in text
    )
