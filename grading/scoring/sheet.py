"""What a marker recorded: the input of the scorer, and the marks file it is read from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from rubric.definition.values import State

RulingResult = Literal["met", "violated", "cannot_tell"]


@dataclass(frozen=True)
class Mark:
    """One element's state. `at` is seconds into the recording, `level` counts from 1."""

    element: str
    state: State
    at: Decimal | None = None
    level: int | None = None
    reason: str = ""


@dataclass(frozen=True)
class Sighting:
    """A hazard seen at a moment; `confirmed` is false until the named person says so."""

    rule: str
    at: Decimal | None = None
    confirmed: bool = True


@dataclass(frozen=True)
class Ruling:
    """The marker's word on a `before` rule; it replaces what the times say."""

    rule: str
    result: RulingResult
    note: str = ""


@dataclass(frozen=True)
class Sheet:
    """Everything marked on one recording. Elements without a mark are open."""

    marks: tuple[Mark, ...] = ()
    hazards: tuple[Sighting, ...] = ()
    rulings: tuple[Ruling, ...] = ()
    global_rating: int | None = None
    length_seconds: Decimal | None = None
    start_at: Decimal = Decimal(0)
    extra_minutes: Decimal = Decimal(0)
