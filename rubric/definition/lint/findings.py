"""Everything that lint finds in the text of a rubric file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rubric.definition.lint.errors import errors
from rubric.definition.lint.finding import Finding
from rubric.definition.lint.parts import of_part
from rubric.definition.lint.places import name_of
from rubric.definition.lint.whole import of_rubric, of_rule
from rubric.definition.read import read_what_can_be
from rubric.definition.selectors import select, selectors_of
from rubric.definition.values import Definition
from rubric.faults import Place


def lint(text: str) -> tuple[Finding, ...]:
    """What must be mended, in the order of the file, then what is worth a look.

    `must` is what scoring.md calls an error, exactly the faults that `read` raises.
    `look` is advice, and needs something to stand on: a part with a fault gets none,
    and advice on how the parts weigh together waits until no fault is left. Advice
    that reads words knows English only and is silent on a rubric in another language.
    """
    definition, faults = read_what_can_be(text, "draft")
    found = [*errors(definition, faults)]
    if definition is not None:
        found += _advice(definition, {fault.place for fault in faults})
    return tuple(replace(f, where=name_of(definition, f.place)) for f in found)


def look(definition: Definition) -> tuple[Finding, ...]:
    """What is worth a look in a rubric without a fault."""
    found = _advice(definition, set())
    return tuple(replace(f, where=name_of(definition, f.place)) for f in found)


def _advice(definition: Definition, faulty: set[Place]) -> Iterator[Finding]:
    in_rules = {
        key
        for rule in definition.rules
        if rule.effect.kind != "flag"
        for key in select(definition, selectors_of(rule))
    }
    for s, section in enumerate(definition.sections):
        for p, part in enumerate(section.parts):
            place = ("sections", s, "parts", p)
            if place not in faulty:
                yield from of_part(definition, section, part, place, in_rules)
    if not faulty:
        for r, rule in enumerate(definition.rules):
            yield from of_rule(definition, rule, ("rules", r))
        yield from of_rubric(definition)
