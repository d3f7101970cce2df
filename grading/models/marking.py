from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any, Literal
from uuid import UUID

from django.db import models, transaction
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, User
from accounts.roles import Act
from accounts.statements import insert, update
from grading.models.assignment import Assignment
from grading.models.change import Change, Closed, Proposed, Refusal, Saved
from grading.models.markings import MarkingQuerySet
from grading.models.phrase import Phrase
from grading.models.submission import Submission
from grading.played import merge
from grading.scoring import Mark, Result, Ruling, Sheet, Sighting, score
from rubric.definition import Definition, Effect, State
from rubric.models import definition_of

# A longer silence between two saves is a pause, not work on this recording.
LONGEST_WORK_GAP = timedelta(minutes=2)


class Marking(models.Model):
    """One marker's sheet for one submission.

    `targets` holds the sheet as it stands: for each target (see Proposed) the id of the
    change that wrote it and its value. Every change itself is kept as a Change.
    """

    class Part(models.TextChoices):
        FIRST = "first"
        SECOND = "second"
        THIRD = "third"
        AGREED = "agreed"

    submission = models.ForeignKey(Submission, models.PROTECT, related_name="markings")
    marker = models.ForeignKey(User, models.PROTECT, related_name="markings")
    part = models.CharField(max_length=10, choices=Part.choices, default=Part.FIRST)
    targets = models.JSONField(default=dict)
    played = models.JSONField(default=list)
    version = models.PositiveIntegerField(default=0)
    closed = models.BooleanField(default=False)
    reopened_because = models.TextField(blank=True)
    marked = models.PositiveSmallIntegerField(default=0)
    awaits_word = models.BooleanField(default=False)
    started_at = models.DateTimeField(null=True, blank=True)
    saved_at = models.DateTimeField(null=True, blank=True)
    worked_seconds = models.PositiveIntegerField(default=0)

    objects = MarkingQuerySet.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("submission", "part"), name="part_once_a_submission"
            ),
        )

    def __str__(self) -> str:
        return f"{self.part} marking of {self.submission}"

    def get_absolute_url(self) -> str:
        return reverse("grading:desk", args=[self.pk])

    @property
    def assignment(self) -> Assignment:
        return self.submission.assignment

    @property
    def definition(self) -> Definition:
        return definition_of(self.assignment.edition)

    def values(self, kind: str) -> dict[str, dict[str, Any]]:
        """What stands of one kind of target, by the part of its name after the colon."""
        # No kind's name begins with another's.
        begins = len(kind) + 1
        return {
            target[begins:]: entry["value"]
            for target, entry in self.targets.items()
            if target.startswith(kind) and entry["value"] is not None
        }

    def sheet(self) -> Sheet:
        """The marking as the scorer reads it."""
        rating = self.values("rating").get("")
        start = self.values("start").get("")
        marks = tuple(
            Mark(
                element=key,
                state=State(value["state"]),
                at=_seconds(value.get("at")),
                level=value.get("level"),
                reason=value.get("reason", ""),
            )
            for key, value in self.values("element").items()
        )
        hazards = tuple(
            Sighting(value["rule"], _seconds(value.get("at")), word == "confirmed")
            for value, word in self.sightings().values()
            if word != "rejected"
        )
        start_at = (_seconds(start["at"]) if start else None) or Decimal(0)
        moments = [mark.at for mark in marks] + [sighting.at for sighting in hazards]
        seen = [at for at in moments if at is not None]
        return Sheet(
            marks=marks,
            hazards=hazards,
            rulings=tuple(
                Ruling(rule, value["result"], value.get("note", ""))
                for rule, value in self.values("ruling").items()
            ),
            global_rating=rating["value"] if rating else None,
            length_seconds=_at_least(self.length_seconds, start_at, *seen),
            start_at=start_at,
            extra_minutes=self.submission.extra_minutes,
        )

    def sightings(self) -> dict[str, tuple[dict[str, Any], str]]:
        """Each hazard sighting with the word on it: confirmed, awaiting or rejected."""
        words = self.values("word")
        second = self.assignment.hazards_confirmed_by == Assignment.ConfirmedBy.SECOND
        found = {}
        for ident, value in self.values("sighting").items():
            said = words.get(ident)
            # A word holds for the sighting as it was when it was given, and no other.
            if said and said["change"] == self.targets[f"sighting:{ident}"]["change"]:
                word = said["word"]
            else:
                word = "awaiting" if second else "confirmed"
            found[ident] = (value, word)
        return found

    @property
    def length_seconds(self) -> Decimal | None:
        """As handed in; where it was not, as the player or the marker found it."""
        if self.submission.length_seconds is not None:
            return self.submission.length_seconds
        length = self.values("length").get("")
        return _seconds(length["seconds"]) if length else None

    def result(self) -> Result:
        return score(self.definition, self.sheet())

    def record(
        self,
        proposed: Sequence[Proposed],
        *,
        by: User,
        played: Iterable[Iterable[float]] = (),
    ) -> Saved:
        """Take the changes in order, each once, and keep every one of them.

        A change whose id is known is acknowledged again and not applied again. A change
        made without knowing the newest one of its target is refused, and what stands is
        told. Raises Closed after release. One transaction; self is brought up to date.
        """
        with transaction.atomic():
            self.lock()
            if self.closed:
                raise Closed
            saved = Saved(self.version, self.version)
            fresh = self._take(proposed, by, saved)
            spans = [list(span) for span in merge(self.played, played)]
            if fresh or spans != self.played:
                self.played = spans
                if fresh:
                    self._touch(timezone.now())
                update(self, *_WRITTEN)
            saved.version = self.version
            if fresh or saved.refused:
                AuditEntry.objects.append(
                    actor=by,
                    verb=AuditEntry.Verb.MARKED if fresh else AuditEntry.Verb.REFUSED,
                    about=f"marking {self.pk}",
                    course=self.assignment.course,
                    targets=[change.target for change in fresh],
                    refused=[refusal.target for refusal in saved.refused],
                )
        return saved

    def _take(
        self, proposed: Sequence[Proposed], by: User, saved: Saved
    ) -> list[Proposed]:
        """Apply and keep what can be taken; tell in `saved` what became of each."""
        if not proposed:
            return []
        known = self._known(proposed)
        fresh: list[Proposed] = []
        refused: list[tuple[Proposed, Literal["older", "forbidden"]]] = []
        may_excuse = cache(lambda: by.may(Act.EXCUSE_ANY, self.assignment.course))
        for change in proposed:
            current = self.targets.get(change.target)
            if change.id in known:
                saved.acknowledged.append(change.id)
            elif (current and current["change"]) != _text(change.after):
                refused.append((change, "older"))
            elif self._excuses_more(change) and not may_excuse():
                refused.append((change, "forbidden"))
            else:
                value = change.value
                self.targets[change.target] = {"change": str(change.id), "value": value}
                known.add(change.id)
                saved.acknowledged.append(change.id)
                fresh.append(change)
        now = timezone.now()
        insert(
            *(
                Change(
                    marking=self,
                    client_id=change.id,
                    target=change.target,
                    value=change.value,
                    by=by,
                    at=now,
                )
                for change in fresh
            )
        )
        Phrase.objects.used(
            self.assignment.course, [c.phrase for c in fresh if c.phrase]
        )
        saved.refused += self._refusals(refused)
        return fresh

    def _known(self, proposed: Sequence[Proposed]) -> set[UUID]:
        """Those of the changes that are kept already.

        Where each change names what stands as the one before it, all of them are new:
        what stood before a kept change never stands again. Else the store is asked.
        """
        standing: dict[str, str | None] = {}
        for change in proposed:
            current = self.targets.get(change.target)
            stands = standing.get(change.target, current and current["change"])
            if stands != _text(change.after):
                kept = self.changes.filter(client_id__in=[p.id for p in proposed])
                return set(kept.values_list("client_id", flat=True))
            standing[change.target] = str(change.id)
        return set()

    def _excuses_more(self, change: Proposed) -> bool:
        """Whether the change excuses what the rubric leaves to a course lead."""
        if (change.value or {}).get("state") != State.EXCUSED:
            return False
        key = change.target.partition(":")[2]
        return not self.definition.elements[self.definition.index[key]].may_excuse

    def _refusals(
        self, refused: Sequence[tuple[Proposed, Literal["older", "forbidden"]]]
    ) -> list[Refusal]:
        standing = {
            change.target: self.targets.get(change.target) for change, _ in refused
        }
        names = dict(
            self.changes.filter(
                client_id__in=[entry["change"] for entry in standing.values() if entry]
            ).values_list("target", "by__name")
            if refused
            else ()
        )
        return [
            Refusal(
                str(change.id),
                change.target,
                why,
                text=_REFUSED[why],
                current=standing[change.target],
                by=names.get(change.target, ""),
            )
            for change, why in refused
        ]

    def confirm(self, sighting: str, word: str, *, by: User) -> None:
        """A second person's word, `confirmed` or `rejected`, on a sighting as it stands.

        Raises ValueError where there is no such sighting or it awaits no word.
        """
        if word not in {"confirmed", "rejected"}:
            raise ValueError(f"word must be confirmed or rejected, but is {word!r}")
        now = timezone.now()
        with transaction.atomic():
            self.lock()
            if self.closed:
                raise Closed
            if self.sightings().get(sighting, ({}, ""))[1] != "awaiting":
                raise ValueError("this sighting awaits no word")
            value = {
                "word": word,
                "by": by.pk,
                "change": self.targets[f"sighting:{sighting}"]["change"],
            }
            change = Change.objects.create(
                marking=self, target=f"word:{sighting}", value=value, by=by, at=now
            )
            self.targets[f"word:{sighting}"] = {
                "change": str(change.client_id),
                "value": value,
            }
            self.version += 1
            self.awaits_word = self._awaits_word()
            self.save(update_fields=["targets", "version", "awaits_word"])
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.CONFIRMED,
                about=f"marking {self.pk}",
                course=self.assignment.course,
                sighting=sighting,
                word=word,
            )

    def reopen(self, *, by: User, reason: str) -> None:
        """Open a released marking for a correction; its release stays as it is.

        Raises ValueError where it is open already.
        """
        with transaction.atomic():
            self.lock()
            if not self.closed:
                raise ValueError("this marking is open already")
            self.closed = False
            self.reopened_because = reason
            self.version += 1
            self.save(update_fields=["closed", "reopened_because", "version"])
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.REOPENED,
                about=f"marking {self.pk}",
                course=self.assignment.course,
                reason=reason,
            )

    def lock(self) -> None:
        """Hold the row and read what others may have written since it was fetched."""
        row = Marking.objects.locked(self.pk, _WRITTEN)
        for name in _WRITTEN:
            setattr(self, name, getattr(row, name))

    def _awaits_word(self) -> bool:
        heavy = {r.key for r in self.definition.rules if r.effect != Effect("flag")}
        return any(
            word == "awaiting" and value["rule"] in heavy
            for value, word in self.sightings().values()
        )

    def _touch(self, now: datetime) -> None:
        self.version += 1
        self.marked = len(self.values("element"))
        self.awaits_word = self._awaits_word()
        if self.saved_at and now - self.saved_at <= LONGEST_WORK_GAP:
            self.worked_seconds += round((now - self.saved_at).total_seconds())
        self.started_at = self.started_at or now
        self.saved_at = now


# Exactly the columns that record() may change.
_WRITTEN = (
    "targets",
    "played",
    "version",
    "closed",
    "marked",
    "awaits_word",
    "started_at",
    "saved_at",
    "worked_seconds",
)


_REFUSED = {
    "older": "This was changed in between.",
    "forbidden": "Only a course lead may excuse this element.",
}


def _text(ident: UUID | None) -> str | None:
    return None if ident is None else str(ident)


# The same moments are read again at every save of a marking.
@lru_cache(maxsize=65536)
def _seconds(value: float | str | None) -> Decimal | None:
    """Exact to the millisecond, as the player gives it."""
    if value is None:
        return None
    return Decimal(str(value)).quantize(Decimal("0.001")).normalize() + 0


def _at_least(length: Decimal | None, *moments: Decimal) -> Decimal | None:
    """The length as known; where something was seen later than that, up to there."""
    return None if length is None else max(length, *moments)
