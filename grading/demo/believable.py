"""Invented markings that look like a term's: seeded, so that each load is the same.

Demo data, never evidence. A student is stronger or weaker, a marker kinder or harder,
an element easier or harder; now and then a camera slips, a moment is out of order, or a
hazard is seen.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from rubric.definition import Definition, Element, Hazard, Technique

# What tends to be left out, added to every element's own lot.
HARD = {
    "bell": 0.9,
    "third left space": 0.6,
    "popliteal": 0.7,
    "femoral": 0.4,
    "left": 0.15,
}
EASY = {Technique.STATE: -0.5, Technique.ASK: -0.7, Technique.INSPECT: -0.2}
SAID_RATHER_THAN_DONE = {Technique.MEASURE, Technique.PERCUSS, Technique.PERFORM}


@dataclass(frozen=True)
class Phrase:
    """One reusable comment: for which elements, in which states, of which kind."""

    prefix: str
    kind: str
    states: tuple[str, ...]
    text: str

    def fits(self, element: Element, state: str) -> bool:
        keys = (self.prefix, self.prefix.removesuffix(".*"))
        named = element.key in keys or (
            self.prefix.endswith(".*") and element.key.startswith(self.prefix[:-1])
        )
        return named and state in self.states


@dataclass
class Sheet:
    """Values of desk targets in the order in which a marker would write them."""

    values: list[tuple[str, dict[str, Any]]] = field(default_factory=list)


def hardness(element: Element, seed: int) -> float:
    """How hard an element is, the same for everybody, about -1 to 2."""
    lot = random.Random(f"{seed}:{element.key}").gauss(0, 0.55)  # noqa: S311
    names = (element.site, element.side, element.instrument)
    return (
        lot
        + EASY.get(element.technique, 0.0)
        + sum(HARD.get(name or "", 0.0) for name in names)
    )


def mark_up(
    definition: Definition,
    rng: random.Random,
    *,
    ability: float,
    kindness: float,
    length: float,
    phrases: Sequence[Phrase],
    seed: int,
    share: float = 1.0,
) -> Sheet:
    """A marker's sheet of one recording; `share` below 1 leaves the rest open."""
    sheet = Sheet()
    elements = definition.elements
    out_of_frame = _camera_slip(rng, len(elements))
    moments = _moments(rng, len(elements), length)
    comments: list[dict[str, Any]] = []
    for i, element in enumerate(elements[: round(share * len(elements))]):
        at = moments[i]
        if element.levels:
            value = _level(element, rng, ability + kindness)
            state = "level"
        else:
            z = ability + kindness - hardness(element, seed) + rng.gauss(0, 0.7)
            state = "unseen" if i in out_of_frame else _state(element, z, rng)
            value = {"state": state}
            if element.may_excuse and rng.random() < 0.004:
                value = {"state": "excused", "reason": "Cannula in that arm"}
        value |= {"at": None if state == "missed" else at, "speed": 1.5}
        sheet.values.append((f"element:{element.key}", value))
        comment = _comment(element, state, at, phrases, rng)
        if comment and len(comments) < 14:
            comments.append(comment)
    for n, comment in enumerate(comments):
        sheet.values.append((f"comment:demo-{n}", comment))
    if share == 1.0:
        sheet.values += _sightings(definition, rng, length)
    return sheet


def _state(element: Element, z: float, rng: random.Random) -> str:
    if z > -1.15:
        return "done"
    if z > -1.6:
        return "partly"
    said = 0.55 if element.technique in SAID_RATHER_THAN_DONE else 0.25
    return "said" if rng.random() < said else "missed"


def _level(element: Element, rng: random.Random, z: float) -> dict[str, Any]:
    top = len(element.levels)
    level = round(top - 0.6 + 0.6 * (z + rng.gauss(0, 0.6)))
    return {"state": "level", "level": min(top, max(1, level))}


def _camera_slip(rng: random.Random, elements: int) -> range:
    """In one recording of five, a few elements in a row are out of the picture."""
    if rng.random() > 0.2:
        return range(0)
    start = rng.randrange(elements - 6)
    return range(start, start + rng.randint(1, 5))


def _moments(rng: random.Random, elements: int, length: float) -> list[float]:
    """In exam order, with uneven steps; in one recording of eight, two trade places."""
    steps = [rng.uniform(0.4, 1.6) for _ in range(elements + 1)]
    scale = (length - 20) / sum(steps)
    moments, at = [], 8.0
    for step in steps[:elements]:
        at += step * scale
        moments.append(round(at, 1))
    if rng.random() < 0.12:
        a = rng.randrange(elements - 12)
        b = a + rng.randint(4, 11)
        moments[a], moments[b] = moments[b], moments[a]
    return moments


def _comment(
    element: Element,
    state: str,
    at: float,
    phrases: Sequence[Phrase],
    rng: random.Random,
) -> dict[str, Any] | None:
    often = {"done": 0.03, "level": 0.0}.get(state, 0.5)
    fitting = [phrase for phrase in phrases if phrase.fits(element, state)]
    if not fitting or rng.random() > often:
        return None
    phrase = rng.choice(fitting)
    return {
        "element": element.key,
        "at": at,
        "kind": phrase.kind,
        "text": phrase.text,
    }


def _sightings(
    definition: Definition, rng: random.Random, length: float
) -> list[tuple[str, dict[str, Any]]]:
    hazards = [rule for rule in definition.rules if isinstance(rule, Hazard)]
    if not hazards or rng.random() > 0.05:
        return []
    rule = rng.choice(hazards)
    at = round(rng.uniform(60, length - 60), 1)
    return [("sighting:demo-0", {"rule": rule.key, "at": at, "speed": 1.5})]
