"""A term's work as it would have come about: assignments, recordings, markings."""

from __future__ import annotations

import random
import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from accounts.models import Cohort, Course, User
from grading.demo.believable import Phrase, mark_up
from grading.models import Assignment, Change, Marking, Release, Submission
from grading.models.submission import CONSENT
from grading.played import merge
from rubric.definition import GlobalRating

LINK = "https://recordings.demo.invalid/{}.webm"
# Every submission of the demo plays the one recording that comes with it.
LENGTH = Decimal(827)


@dataclass(frozen=True)
class People:
    course: Course
    administrator: User
    lead: User
    instructors: list[User]
    cohorts: dict[str, list[User]]


@dataclass
class Term:
    """Makes rows as the acts would have made them, with the times of a past term."""

    people: People
    remarks: list[Phrase]
    kindness: dict[int, float]
    captions: str
    rng: random.Random
    seed: int
    now: datetime
    abilities: dict[int, float] = field(default_factory=dict)
    turn: int = 0

    def assignment(self, cohort: Cohort, due: datetime, **fields: Any) -> Assignment:
        due = due.replace(hour=20, minute=0, second=0, microsecond=0)
        return Assignment.set_for(
            cohort,
            by=self.people.lead,
            markers=self.people.instructors,
            opens_at=due - timedelta(days=21),
            due_at=due,
            return_at=due + timedelta(days=8),
            seed=self.rng.getrandbits(31),
            **fields,
        )

    def hand_in(
        self,
        assignment: Assignment,
        student: User,
        *,
        ability: float,
        attempt: int = 1,
        late: timedelta | None = None,
    ) -> Marking:
        before = timedelta(hours=self.rng.uniform(1, 90))
        submission = Submission.objects.create(
            assignment=assignment,
            student=student,
            attempt=attempt,
            number=self._number(assignment),
            link=LINK.format(f"{self.rng.getrandbits(40):010x}"),
            length_seconds=LENGTH,
            captions=self.captions,
            consent=CONSENT,
            handed_in_at=assignment.due_at + (late or -before),
        )
        marker = self.people.instructors[self.turn % len(self.people.instructors)]
        self.turn += 1
        marking = Marking.objects.create(submission=submission, marker=marker)
        self.abilities[marking.pk] = ability
        return marking

    def _number(self, assignment: Assignment) -> int:
        used = set(assignment.submissions.values_list("number", flat=True))
        return self.rng.choice([n for n in range(1, 130) if n not in used])

    def mark(
        self, marking: Marking, *, share: float = 1.0, hazard: str | None = None
    ) -> datetime:
        """Fill in the sheet, `share` of it; returns when the marker stopped."""
        sheet = mark_up(
            marking.definition,
            self.rng,
            ability=self.abilities[marking.pk],
            kindness=self.kindness[marking.marker_id],
            length=float(LENGTH),
            phrases=self.remarks,
            seed=self.seed,
            share=share,
        )
        values = sheet.values
        if hazard:
            sighted = {"rule": hazard, "at": 301.5, "speed": 1.5}
            values = [v for v in values if not v[0].startswith("sighting:")]
            values.append(("sighting:demo-0", sighted))
        worked = round(float(LENGTH) * self.rng.uniform(0.9, 1.6) * share)
        due = marking.assignment.due_at
        begun = due + timedelta(hours=self.rng.uniform(12, 24 * 8.4))
        if begun > self.now - timedelta(hours=1):  # this week's work
            begun = self.now - timedelta(hours=self.rng.uniform(2, 30))
        self._write(marking, values, begun, worked)
        if share == 1.0:
            self._judge(marking, begun + timedelta(seconds=worked))
        heard = float(LENGTH) * share
        marking.played = [list(s) for s in merge([(0, heard * 0.97)])]
        marking.worked_seconds = worked
        marking.started_at = begun
        marking.saved_at = begun + timedelta(seconds=worked)
        marking.marked = len(marking.values("element"))
        marking.version = len(marking.targets)
        marking.awaits_word = bool(hazard)
        marking.save()
        return marking.saved_at

    def release(self, marking: Marking) -> Release:
        stopped = self.mark(marking)
        for sighting, (_, word) in marking.sightings().items():
            if word == "awaiting":
                second = next(m for m in self.people.instructors if m != marking.marker)
                marking.confirm(sighting, "confirmed", by=second)
        return Release.of_marking(
            marking, by=marking.marker, at=stopped + timedelta(minutes=1)
        )

    def _write(
        self,
        marking: Marking,
        values: list[tuple[str, dict[str, Any]]],
        begun: datetime,
        worked: float,
    ) -> None:
        step = timedelta(seconds=worked / max(1, len(values)))
        changes = []
        for n, (target, value) in enumerate(values):
            ident = uuid.UUID(int=self.rng.getrandbits(128), version=4)
            marking.targets[target] = {"change": str(ident), "value": value}
            changes.append(
                Change(
                    marking=marking,
                    client_id=ident,
                    target=target,
                    value=value,
                    by=marking.marker,
                    at=begun + n * step,
                )
            )
        Change.objects.bulk_create(changes)

    def _judge(self, marking: Marking, at: datetime) -> None:
        """The global rating, and a ruling wherever the times ask for one."""
        asked = marking.definition.global_rating
        if asked:
            rating = {"value": self._rating(marking, asked)}
            self._write(marking, [("rating", rating)], at, 0)
        rulings: list[tuple[str, dict[str, Any]]] = [
            (
                f"ruling:{key}",
                {"result": self.rng.choice(["met", "met", "violated"]), "note": ""},
            )
            for key in marking.result().open.rulings
        ]
        self._write(marking, rulings, at, 0)

    def _rating(self, marking: Marking, asked: GlobalRating) -> int:
        raw = float(marking.result().raw or 0) + self.rng.gauss(0, 4)
        return sum(raw > limit for limit in (68, 78, 90)[: len(asked.words) - 1]) + 1
