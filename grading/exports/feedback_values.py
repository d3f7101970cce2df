"""What page and PDF place: a feedback as frozen values, in words and figures."""

from __future__ import annotations

from dataclasses import dataclass

from grading.exports.feedback_kin import Correction
from grading.models import Release
from grading.pictures.bars import Bar
from rubric.definition import Definition


@dataclass(frozen=True)
class Moment:
    """Seconds into the recording, and the same as m:ss."""

    at: float
    time: str

    @property
    def seconds(self) -> str:
        """For addresses and attributes: no more digits than are known."""
        return f"{self.at:.3f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class Remark:
    """One comment; `element` is the key it is about and `about` its text, or empty."""

    kind: str
    word: str
    element: str
    about: str
    text: str
    moment: Moment | None


@dataclass(frozen=True)
class Row:
    """One element: `glyph` and `word` say its state, `points` what it earned."""

    key: str
    text: str
    glyph: str
    word: str
    points: str
    critical: bool
    reason: str
    moment: Moment | None
    remarks: tuple[Remark, ...]


@dataclass(frozen=True)
class Part:
    """One section with its figures, its bar and its elements."""

    key: str
    title: str
    points: str
    minimum: str
    bar: Bar
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Finding:
    """One critical element or rule: how it stands, when, and what it does."""

    text: str
    glyph: str
    word: str
    effect: str
    note: str
    moments: tuple[Moment, ...]


@dataclass(frozen=True)
class Findings:
    """What stands out, each by itself; what does not, by its word: (word, texts)."""

    outstanding: tuple[Finding, ...]
    quiet: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Task:
    """One thing to work on first. `said_by` is who gives the advice: marker or rubric."""

    what: str
    way: str
    cost: str
    advice: str
    said_by: str
    again: bool
    moment: Moment | None


@dataclass(frozen=True)
class Feedback:
    """All that page and PDF say; `name` is the one its reader may see."""

    release: Release
    definition: Definition
    name: str
    outcome: str
    percent: str
    pass_mark: str
    because: str
    also: tuple[str, ...]
    span: str
    tasks: tuple[Task, ...]
    parts: tuple[Part, ...]
    weighty: Findings
    rules: Findings
    remarks: tuple[Remark, ...]
    marked_by: str
    correction: Correction | None
    newer: Release | None

    @property
    def title(self) -> str:
        return str(self.release.edition)

    @property
    def scope(self) -> str:
        """What a result is, and no more than that."""
        return (
            "This is one recorded examination of one healthy volunteer, seen by one "
            "marker."
        )

    @property
    def length(self) -> float | None:
        seconds = self.release.submission.length_seconds
        return None if seconds is None else float(seconds)
