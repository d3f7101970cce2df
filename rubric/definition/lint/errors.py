"""The faults of a draft as findings, with a mend where only one thing can be meant."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rubric.definition.lint.finding import Finding, Mend, Value
from rubric.definition.lint.places import part_at
from rubric.definition.selectors import select
from rubric.definition.values import AtLeast, Definition, Element, Grid, Rule, Section
from rubric.faults import Fault, Place

_NEAREST = re.compile(r"\(nearest: (.+)\)$")
_LACKS = re.compile(r" lacks the key '")
_TWICE = re.compile(r"the key '(.+)' is used twice")


def errors(definition: Definition | None, faults: Iterable[Fault]) -> Iterator[Finding]:
    for fault in faults:
        words = _words(fault)
        mend = None if definition is None else _mend(definition, fault)
        yield Finding("must", "error", fault.place, fault.key, words, mend)


def _words(fault: Fault) -> str:
    """The fault for somebody who fills in fields, not one who writes a file."""
    name = (fault.key or "").replace("_", " ").capitalize()
    if _LACKS.search(fault.what):
        return f"{name} is missing."
    if fault.what == f"{fault.key} is empty":
        return f"{name} is empty."
    words = fault.what[:1].upper() + fault.what[1:] + "."
    return f"{words} Allowed: {fault.allowed}." if fault.allowed else words


def _mend(definition: Definition, fault: Fault) -> Mend | None:
    place, key = fault.place, fault.key
    if key and "has the unknown key" in fault.what:
        return Mend(f"Take {key} away", place, {key: None})
    if "has both points and points_shared" in fault.what:
        return Mend("Keep the points of each", place, {"points_shared": None})
    part = part_at(definition, place)
    if key == "per" and "has no" in fault.what:
        return Mend("Read the rule over all at once", place, {"per": None})
    if isinstance(part, AtLeast) and "above the number of elements" in fault.what:
        held = len(select(definition, part.of))
        return Mend(f"Ask for {held}", place, {"count": held})
    near = _NEAREST.search(fault.allowed)
    if key in ("of", "first", "then") and near and "matches no element" in fault.what:
        wrong = fault.what.partition("' matches")[0].removeprefix("'")
        selectors: list[str] = list(getattr(part, key))
        if selectors.count(wrong) == 1 and near[1] not in selectors:
            mended: list[Value] = [near[1] if s == wrong else s for s in selectors]
            return Mend(f"Make it {near[1]}", place, {key: mended})
    if key == "key" and part is not None and _TWICE.search(fault.what):
        return _own_key(definition, part, place)
    return None


def _own_key(
    definition: Definition, part: Section | Element | Grid | Rule, place: Place
) -> Mend:
    """The part's key with the lowest number that makes it its own."""
    taken = {section.key for section in definition.sections}
    taken.update(rule.key for rule in definition.rules)
    for section in definition.sections:
        taken.update(part.key for part in section.parts)
        taken.update(element.key for element in section.elements)
    n = 2
    while f"{part.key}-{n}" in taken:
        n += 1
    key = f"{part.key}-{n}"
    return Mend(f"Call it {key}", place, {"key": key})
