"""What a rubric says, as frozen values: every reader and writer meets here."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import Literal


class State(StrEnum):
    """What the marker saw; the values are the keys of a marks file."""

    DONE = "done"
    PARTLY = "partly"
    SAID = "said"
    MISSED = "missed"
    UNSEEN = "unseen"
    EXCUSED = "excused"
    LEVEL = "level"


class Technique(StrEnum):
    """How an element is examined."""

    INSPECT = "inspect"
    PALPATE = "palpate"
    PERCUSS = "percuss"
    AUSCULTATE = "auscultate"
    MEASURE = "measure"
    ASK = "ask"
    STATE = "state"
    PERFORM = "perform"


Axis = Literal["site", "side", "instrument"]


@dataclass(frozen=True)
class Effect:
    """What a violation does; `amount` is percentage points, for deduct and cap only."""

    kind: Literal["flag", "deduct", "cap", "fail"]
    amount: Fraction | None = None


@dataclass(frozen=True)
class Credit:
    """Share of the points (0 to 1) for partly and said; None: the default above it."""

    partly: Fraction | None = None
    said: Fraction | None = None


@dataclass(frozen=True)
class Level:
    label: str
    credit: Fraction


@dataclass(frozen=True)
class Element:
    """The smallest thing marked on its own.

    An element that came out of a site grid names it in `grid` and carries the
    values of the grid's axes; a single element has neither.
    """

    key: str
    text: str
    technique: Technique
    points: Fraction
    critical: Effect | None = None
    credit: Credit = Credit()
    levels: tuple[Level, ...] = ()
    expects: str = ""
    source: str = ""
    may_excuse: bool = False
    say: tuple[str, ...] = ()
    grid: str | None = None
    site: str | None = None
    side: str | None = None
    instrument: str | None = None


@dataclass(frozen=True)
class Grid:
    """Elements of one technique over sites, sides and instruments, as written.

    `text` may hold {site}, {side} and {instrument}. Exactly one of `points` (each
    element's) and `points_shared` (split equally) is set.
    """

    key: str
    text: str
    technique: Technique
    sites: tuple[str, ...]
    sides: tuple[str, ...] = ()
    instruments: tuple[str, ...] = ()
    points: Fraction | None = None
    points_shared: Fraction | None = None
    critical: Effect | None = None
    credit: Credit = Credit()
    expects: str = ""
    source: str = ""
    may_excuse: bool = False
    say: tuple[str, ...] = ()

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """One element a cell: site by site, then side, then instrument."""
        from rubric.definition.grids import expand

        return expand(self)


@dataclass(frozen=True)
class Section:
    key: str
    title: str
    parts: tuple[Element | Grid, ...]
    minimum_percent: Fraction | None = None

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Every element in exam order, grids expanded."""
        return tuple(
            element
            for part in self.parts
            for element in (part.elements if isinstance(part, Grid) else (part,))
        )


@dataclass(frozen=True)
class AtLeast:
    key: str
    text: str
    effect: Effect
    count: int
    of: tuple[str, ...]
    kind: Literal["at_least"] = "at_least"


@dataclass(frozen=True)
class Before:
    key: str
    text: str
    effect: Effect
    first: tuple[str, ...]
    then: tuple[str, ...]
    per: Axis | None = None
    slack_seconds: Fraction = Fraction(5)
    kind: Literal["before"] = "before"


@dataclass(frozen=True)
class Hazard:
    key: str
    text: str
    effect: Effect
    kind: Literal["hazard"] = "hazard"


@dataclass(frozen=True)
class Within:
    key: str
    text: str
    effect: Effect
    minutes: Fraction
    kind: Literal["within"] = "within"


Rule = AtLeast | Before | Hazard | Within


@dataclass(frozen=True)
class GlobalRating:
    """The words of the marker's one judgement, lowest first; `borderline` counts from 1."""

    words: tuple[str, ...]
    borderline: int


@dataclass(frozen=True)
class Definition:
    """One rubric, whole. `selectors.select(definition, patterns)` resolves a rule's keys."""

    title: str
    sections: tuple[Section, ...]
    pass_percent: Fraction
    language: str = "en"
    unseen_limit_percent: Fraction = Fraction(10)
    unseen: Literal["exclude", "range"] = "exclude"
    credit: Credit = Credit(partly=Fraction(1, 2), said=Fraction(0))
    global_rating: GlobalRating | None = None
    rules: tuple[Rule, ...] = ()

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Every element in exam order: the order of a release's packed states."""
        return tuple(e for section in self.sections for e in section.elements)

    @cached_property
    def index(self) -> dict[str, int]:
        """Position in `elements` by key."""
        return {element.key: i for i, element in enumerate(self.elements)}
