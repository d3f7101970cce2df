"""An edition made ready for scoring: what `score` looks up, and whole numbers to add.

Shared points need not end in decimals (4 over 3 elements), so every weight and every
gain is multiplied by the least number that makes all of them whole. Sums of a sheet
are then sums of integers, exact and quick; `Plan.points` turns them back.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from grading.scoring.result import Check, SectionFigure
from rubric.definition.values import Element, Rule, Section, State


class Standing(IntEnum):
    """What a mark means to a rule: only its credit counts, not its points."""

    OPEN = 0
    PERFORMED = 1
    OMITTED = 2
    UNSEEN = 3
    EXCUSED = 4


class Answer(NamedTuple):
    """What one state of one element adds: to the sums, and to the rules.

    `credit` is None where the element leaves the sums.
    """

    position: int
    weight: int
    gain: int
    standing: Standing
    credit: Fraction | None


class Critical(NamedTuple):
    """A critical element; `checks` holds its check by Standing, all but the time."""

    position: int
    checks: tuple[Check, ...]


Part = tuple[tuple[int, ...], tuple[int, ...]]


class ReadyRule(NamedTuple):
    """A rule with its selectors resolved to positions in exam order.

    `of` are the elements it reads, `keys` their keys; `parts` are the pairs (first,
    then) of a `before`, one for each value of its axis. `met` is the check of a rule
    that is met with no element excused.
    """

    rule: Rule
    met: Check
    of: tuple[int, ...] = ()
    keys: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True)
class Plan:
    """What `score` needs of a definition.

    `answers` holds for each element key what each state (or level number) adds; `best`
    and `worst` what an unseen element adds when it is taken as done or missed.
    `slices` cut a list by element into its sections. `subjects` runs parallel to a
    result's checks: critical elements, then rules. `section_figure` takes a section's
    position and its two sums, possible and gained.
    """

    scale: int
    elements: tuple[Element, ...]
    index: Mapping[str, int]
    sections: tuple[Section, ...]
    slices: tuple[slice, ...]
    section_of: tuple[int, ...]
    weights: tuple[int, ...]
    answers: Mapping[str, Mapping[State | int | None, Answer]]
    best: tuple[Answer, ...]
    worst: tuple[Answer, ...]
    criticals: tuple[Critical, ...]
    rules: tuple[ReadyRule, ...]
    rule_kinds: Mapping[str, str]
    subjects: tuple[Element | Rule, ...]
    pass_percent: Fraction
    section_figure: Callable[[int, int, int], SectionFigure]

    def points(self, scaled: int) -> Fraction:
        """Points from a sum of weights or gains."""
        return ratio(scaled, self.scale)


@lru_cache(maxsize=8192)
def ratio(above: int, below: int) -> Fraction:
    """A fraction; kept, because the sums of one edition's sheets come again and again."""
    return Fraction(above, below)
