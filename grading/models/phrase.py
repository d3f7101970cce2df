from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

from django.db import models
from django.db.models import F
from django.utils import timezone

from accounts.models import Course

# The desk picks nine of them for each element; more than this would only weigh.
MOST_OFFERED = 1000


@dataclass(frozen=True)
class PhraseUse:
    """A comment that was made with a phrase, or is to be kept as one.

    `element` and `state` say where it was used; both may be empty.
    """

    element: str
    state: str
    kind: str
    text: str


class PhraseQuerySet(models.QuerySet["Phrase"]):
    def used(self, course: Course, uses: Iterable[PhraseUse]) -> None:
        """Count each use once more, keeping phrases that are new; three queries at most."""
        wanted = {(use.element, use.state, use.text): use for use in uses}
        if not wanted:
            return
        now = timezone.now()
        kept = {
            (element, state, text): pk
            for pk, element, state, text in self.filter(
                course=course, text__in={text for _, _, text in wanted}
            ).values_list("pk", "element", "state", "text")
        }
        known = [kept[place] for place in wanted if place in kept]
        if known:
            self.filter(pk__in=known).update(uses=F("uses") + 1, last_used_at=now)
        self.bulk_create(
            [
                self.model(
                    course=course,
                    element=use.element,
                    state=use.state,
                    kind=use.kind,
                    text=use.text,
                    uses=1,
                    last_used_at=now,
                )
                for place, use in wanted.items()
                if place not in kept
            ],
            # Two markers may keep the same words at the same moment.
            ignore_conflicts=True,
        )

    def for_desk(self, course: Course, elements: Iterable[str]) -> Self:
        """What the comment box may offer on these elements, most used first."""
        return self.filter(course=course, element__in=["", *elements])[:MOST_OFFERED]


class Phrase(models.Model):
    """A reusable comment of a course, for one element (by key) or, if empty, for all."""

    class Kind(models.TextChoices):
        STRENGTH = "strength"
        IMPROVE = "improve", "to improve"
        QUESTION = "question"

    course = models.ForeignKey(Course, models.CASCADE, related_name="phrases")
    element = models.CharField(max_length=200, blank=True)
    state = models.CharField(max_length=10, blank=True)
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.IMPROVE)
    # Part of an index, whose rows PostgreSQL keeps under 2,700 bytes.
    text = models.CharField(max_length=500)
    uses = models.PositiveIntegerField(default=0)
    last_used_at = models.DateTimeField(default=timezone.now)

    objects = PhraseQuerySet.as_manager()

    class Meta:
        ordering = ("-uses", "-last_used_at")
        constraints = (
            models.UniqueConstraint(
                fields=("course", "element", "state", "text"), name="phrase_once"
            ),
        )

    def __str__(self) -> str:
        return self.text
