from __future__ import annotations

import json
from datetime import datetime
from typing import TYPE_CHECKING, Any, Self

from django.db import models, transaction
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, Cohort, Course, User
from accounts.roles import Act
from grading.models.assignment import Assignment
from grading.models.change import Closed
from grading.models.marking import Marking
from grading.models.submission import Submission
from grading.scoring import (
    Result,
    Sheet,
    as_json,
    read_marks,
    score,
    write_marks,
)
from grading.statistics.states import pack, pack_moments
from rubric.models import Edition, definition_of

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser

    from rubric.definition import Definition


class Incomplete(Exception):  # noqa: N818 - a state of the marking, not a fault
    """The marking cannot be released; `result` says what is open."""

    def __init__(self, result: Result) -> None:
        super().__init__("the marking is incomplete")
        self.result = result


class ReleaseQuerySet(models.QuerySet["Release"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        """A student's own, those one marked, and for a lead the whole course's."""
        if not isinstance(user, User):
            return self.none()
        led = Course.objects.where_may(user, Act.SEE_COHORT)
        marked = Course.objects.where_may(user, Act.MARK)
        course = "assignment__cohort__course__in"
        return self.filter(
            Q(submission__student=user)
            | Q(**{course: led})
            | Q(marking__marker=user, **{course: marked})
        )

    def current(self) -> Self:
        """Without those that a correction has replaced."""
        return self.filter(correction__isnull=True)

    def of_cohort(self, cohort: Cohort) -> Self:
        return self.filter(assignment__cohort=cohort)

    def for_feedback(self) -> Self:
        """All that the feedback page and its PDF need, in one query."""
        return self.select_related(
            "document",
            "edition",
            "marking__marker",
            "submission__student",
            "assignment__cohort__course",
        )


class Release(models.Model):
    """The frozen result that a student may read; the store refuses to change it.

    The row itself is short, so that a cohort is read as one array: `states` is one byte
    an element and `moments` four, in the edition's element order. What was marked and
    what followed from it, in full, is the ReleaseDocument beside it.
    """

    submission = models.ForeignKey(Submission, models.PROTECT, related_name="releases")
    assignment = models.ForeignKey(Assignment, models.PROTECT, related_name="releases")
    edition = models.ForeignKey(Edition, models.PROTECT, related_name="releases")
    marking = models.ForeignKey(Marking, models.PROTECT, related_name="releases")
    attempt = models.PositiveSmallIntegerField()
    states = models.BinaryField()
    moments = models.BinaryField()
    outcome = models.CharField(max_length=20)
    percent_shown = models.CharField(max_length=40, null=True)  # noqa: DJ001 (null: no figure)
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="correction"
    )
    reason = models.TextField(blank=True)
    released_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    released_at = models.DateTimeField(default=timezone.now)

    objects = ReleaseQuerySet.as_manager()

    class Meta:
        ordering = ("-released_at",)
        constraints = (
            models.UniqueConstraint(
                fields=("submission",),
                condition=Q(corrects__isnull=True),
                name="one_first_release_a_submission",
            ),
        )

    def __str__(self) -> str:
        return f"Release of {self.submission}"

    def get_absolute_url(self) -> str:
        return reverse("grading:feedback", args=[self.pk])

    @classmethod
    def of_marking(
        cls,
        marking: Marking,
        *,
        by: User,
        reason: str = "",
        at: datetime | None = None,
    ) -> Release:
        """Freeze the marking as it stands and close it.

        Raises Incomplete with what is open, or Closed where it is released already.
        A second release of a submission corrects the one before and keeps it. `at` is
        for what was released before it came here; the audit keeps both times.
        """
        with transaction.atomic():
            marking.lock()
            if marking.closed:
                raise Closed
            definition, sheet = marking.definition, marking.sheet()
            result = score(definition, sheet)
            if result.outcome == "incomplete":
                raise Incomplete(result)
            submission = marking.submission
            release = cls.objects.create(
                submission=submission,
                assignment=marking.assignment,
                edition=marking.assignment.edition,
                marking=marking,
                attempt=submission.attempt,
                **packed(definition, sheet),
                outcome=result.outcome,
                percent_shown=result.percent_shown,
                corrects=cls.objects.current().filter(submission=submission).first(),
                reason=reason,
                released_by=by,
                released_at=at or timezone.now(),
            )
            ReleaseDocument.objects.create(
                release=release,
                text=document_text(definition, sheet, comments_of(marking)),
                played=marking.played,
            )
            marking.closed = True
            marking.save(update_fields=["closed"])
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.RELEASED,
                about=f"release {release.pk}",
                course=marking.assignment.course,
                submission=submission.pk,
                outcome=release.outcome,
                corrects=release.corrects_id,
                released_at=release.released_at.isoformat(),
            )
        return release

    def recomputed(self) -> dict[str, str]:
        """What differs between this release and its own marks scored anew, in words.

        Empty where states, moments, outcome and the document come out the same to the
        byte.
        """
        definition = definition_of(self.edition)
        kept = self.document.contents
        sheet = read_marks(json.dumps(kept["marks"]), "release", definition)
        again = packed(definition, sheet)
        differing = {
            name: "differs from the marks kept"
            for name in ("states", "moments")
            if bytes(getattr(self, name)) != again[name]
        }
        result = score(definition, sheet)
        for name in ("outcome", "percent_shown"):
            if getattr(self, name) != getattr(result, name):
                differing[name] = (
                    f"kept {getattr(self, name)}, now {getattr(result, name)}"
                )
        if document_text(definition, sheet, kept["comments"]) != self.document.text:
            differing["document"] = "differs from the marks scored anew"
        return differing


class ReleaseDocument(models.Model):
    """Marks, comments and result of one release, in full, as canonical JSON."""

    release = models.OneToOneField(
        Release, models.CASCADE, primary_key=True, related_name="document"
    )
    text = models.TextField()
    played = models.JSONField(default=list)

    def __str__(self) -> str:
        return f"Document of {self.release}"

    @property
    def contents(self) -> dict[str, Any]:
        """{"marks": a marks file, "comments": [...], "result": as `score --json`}."""
        contents: dict[str, Any] = json.loads(self.text)
        return contents


def packed(definition: Definition, sheet: Sheet) -> dict[str, bytes]:
    """The sheet's states and moments, packed in the edition's element order."""
    marks = {mark.element: mark for mark in sheet.marks}
    row = [marks.get(element.key) for element in definition.elements]
    return {
        "states": pack((m.state.value, m.level) if m else ("open", None) for m in row),
        "moments": pack_moments(
            None if m is None or m.at is None else int(m.at * 1000) for m in row
        ),
    }


def document_text(
    definition: Definition, sheet: Sheet, comments: list[dict[str, Any]]
) -> str:
    """The same bytes for the same marks, whenever and wherever it is made."""
    contents = {
        "comments": comments,
        "marks": json.loads(write_marks(sheet)),
        "result": as_json(score(definition, sheet)),
    }
    return json.dumps(contents, ensure_ascii=False, sort_keys=True)


def comments_of(marking: Marking) -> list[dict[str, Any]]:
    """The marking's comments in time order, those without a moment last."""
    comments = [
        {"id": ident, **value}
        for ident, value in marking.values("comment").items()
        if value["text"].strip()
    ]
    return sorted(
        comments, key=lambda c: (c.get("at") is None, c.get("at") or 0, c["id"])
    )
