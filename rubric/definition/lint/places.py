"""What stands at a place of a rubric, and what it calls itself."""

from __future__ import annotations

from rubric.definition.values import Definition, Element, Grid, Rule, Section
from rubric.faults import Place


def part_at(
    definition: Definition, place: Place
) -> Section | Element | Grid | Rule | None:
    match place:
        case ("sections", int(s)) if s < len(definition.sections):
            return definition.sections[s]
        case ("sections", int(s), "parts", int(p)) if s < len(definition.sections):
            parts = definition.sections[s].parts
            return parts[p] if p < len(parts) else None
        case ("rules", int(r)) if r < len(definition.rules):
            return definition.rules[r]
    return None


def name_of(definition: Definition | None, place: Place) -> str:
    """The title or text of what stands there; its number where it has none yet."""
    part = None if definition is None else part_at(definition, place)
    named = part.title if isinstance(part, Section) else part.text if part else ""
    if named:
        return named
    match place:
        case ("sections", int(s), "parts", int(p)):
            return f"Element {p + 1} of section {s + 1}"
        case ("sections", int(s)):
            return f"Section {s + 1}"
        case ("rules", int(r)):
            return f"Rule {r + 1}"
    return "The rubric"
