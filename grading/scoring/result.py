"""What a marking comes to, as frozen values: the output of the scorer."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Literal

from grading.scoring.shown import Limit, percent_limits, shown
from rubric.definition.values import Effect


class Outcome(StrEnum):
    """What a release says; `incomplete` can never be released."""

    INCOMPLETE = "incomplete"
    NOT_YET = "not_yet"
    CANNOT_BE_JUDGED = "cannot_be_judged"
    PASS = "pass"  # noqa: S105 - an outcome, no password


CheckKind = Literal["critical", "at_least", "before", "hazard", "within"]
CheckResult = Literal[
    "met",
    "violated",
    "cannot_tell",
    "not_checked",
    "not_applicable",
    "awaited",
    "open",
]
ReasonKind = Literal[
    "open",
    "global_rating",
    "ruling",
    "confirmation",
    "critical",
    "at_least",
    "before",
    "hazard",
    "within",
    "possible",
    "best_case",
    "worst_case",
    "unseen_limit",
    "percent",
    "section",
]


@dataclass(frozen=True, slots=True)
class SectionFigure:
    """One section's sums, before any deduction or cap.

    `percent` is None where nothing was possible; `minimum_met` is None there too, and
    where the section has no minimum.
    """

    key: str
    title: str
    possible: Fraction
    earned: Fraction
    percent: Fraction | None
    minimum_percent: Fraction | None
    minimum_met: bool | None

    @property
    def limits(self) -> tuple[Limit, ...]:
        if self.minimum_percent is None:
            return ()
        return (Limit("at_least", self.minimum_percent),)

    @property
    def percent_shown(self) -> str | None:
        return None if self.percent is None else shown(self.percent, self.limits)


@dataclass(frozen=True, slots=True)
class Check:
    """How one critical element or rule stands.

    `elements` are the keys it reads, excused ones left out, in exam order. `decisive`
    are those to look at first: the omissions, what was not seen, or for an order that
    the times contradict the act that came too early and the one that came too late.
    `at` is the moment in seconds, where one is known, of a violation or of what is
    awaited.
    """

    key: str
    kind: CheckKind
    effect: Effect
    result: CheckResult
    elements: tuple[str, ...] = ()
    at: Decimal | None = None
    decisive: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reason:
    """One ground of the outcome, in words for a student.

    `key` names the element, rule or section; `effect` is that of a check.
    """

    kind: ReasonKind
    key: str | None
    text: str
    effect: Effect | None = None
    at: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """What the sheet comes to, as judged or if all that was not seen were done, or missed.

    `outcome` is pass or not_yet, by steps 2, 6 and 7 of the order of outcomes alone.
    """

    percent: Fraction | None
    cap: Fraction | None
    pass_percent: Fraction
    outcome: Outcome

    @property
    def limits(self) -> tuple[Limit, ...]:
        """What the percent is compared with: the pass mark, and the cap in force."""
        return percent_limits(self.pass_percent, self.cap)

    @property
    def percent_shown(self) -> str | None:
        return None if self.percent is None else shown(self.percent, self.limits)


@dataclass(frozen=True, slots=True)
class Range:
    """Worst and best case. A release shows it where they `differ`."""

    worst: Case
    best: Case

    @property
    def differ(self) -> bool:
        return self.worst != self.best


@dataclass(frozen=True, slots=True)
class Open:
    """What keeps a sheet from being complete: keys in exam order, and the rating."""

    elements: tuple[str, ...] = ()
    global_rating: bool = False
    rulings: tuple[str, ...] = ()
    confirmations: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(
            self.elements or self.global_rating or self.rulings or self.confirmations
        )


@dataclass(frozen=True, slots=True)
class Result:
    """Everything that follows from one sheet; all figures exact.

    `raw` is None where nothing is possible (yet). `percent` and `range` are None while
    `outcome` is incomplete, `percent` also where nothing was possible. `cap` is the
    smallest one in force.
    """

    outcome: Outcome
    possible: Fraction
    earned: Fraction
    raw: Fraction | None
    percent: Fraction | None
    pass_percent: Fraction
    deducted: Fraction
    cap: Fraction | None
    unseen_points: Fraction
    excused_points: Fraction
    range: Range | None
    sections: tuple[SectionFigure, ...]
    checks: tuple[Check, ...]
    reasons: tuple[Reason, ...]
    open: Open

    @property
    def limits(self) -> tuple[Limit, ...]:
        """What the percent is compared with: the pass mark, and the cap in force."""
        return percent_limits(self.pass_percent, self.cap)

    @property
    def percent_shown(self) -> str | None:
        return None if self.percent is None else shown(self.percent, self.limits)
