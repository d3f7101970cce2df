from __future__ import annotations

import random
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Self

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.db.models import Count, Q
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, Course, User
from accounts.roles import Act
from grading.models.assignment import Assignment

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser

CONSENT = (
    "The person examined agreed, before recording, to being filmed and to my "
    "instructors watching, and knows how to withdraw."
)


class SubmissionQuerySet(models.QuerySet["Submission"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        """One's own, those one marks, and for a lead the whole course's."""
        if not isinstance(user, User):
            return self.none()
        led = Course.objects.where_may(user, Act.SEE_COHORT)
        marked = Course.objects.where_may(user, Act.MARK)
        return self.filter(
            Q(student=user)
            | Q(assignment__cohort__course__in=led)
            | Q(
                pk__in=user.markings.values("submission"),
                assignment__cohort__course__in=marked,
            )
        )


class Submission(models.Model):
    """One handed-in recording. The link is kept and shown, never opened by the server."""

    assignment = models.ForeignKey(
        Assignment, models.PROTECT, related_name="submissions"
    )
    student = models.ForeignKey(User, models.PROTECT, related_name="submissions")
    attempt = models.PositiveSmallIntegerField()
    # What a marker sees where names are hidden; drawn at random, so that it tells
    # nothing of who handed in first.
    number = models.PositiveIntegerField()
    link = models.URLField(max_length=2000)
    length_seconds = models.DecimalField(
        max_digits=9, decimal_places=3, null=True, blank=True
    )
    extra_minutes = models.DecimalField(max_digits=5, decimal_places=1, default=0)
    captions = models.TextField(blank=True)
    consent = models.TextField()
    handed_in_at = models.DateTimeField(default=timezone.now)

    objects = SubmissionQuerySet.as_manager()

    class Meta:
        ordering = ("assignment", "number")
        constraints = (
            models.UniqueConstraint(
                fields=("assignment", "student", "attempt"), name="attempt_once"
            ),
            models.UniqueConstraint(
                fields=("assignment", "number"), name="submission_number_once"
            ),
        )

    def __str__(self) -> str:
        return f"Submission {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("grading:submission", args=[self.pk])

    @property
    def late_by(self) -> timedelta | None:
        """How long after the due time it came, or None where it was in time."""
        late = self.handed_in_at - self.assignment.due_at
        return late if late > timedelta(0) else None

    @classmethod
    def hand_in(
        cls,
        assignment: Assignment,
        *,
        student: User,
        link: str,
        length_seconds: Decimal | None,
        captions: str = "",
    ) -> Submission:
        """Take one recording and give it to a marker.

        Raises ValidationError where the assignment does not take it (closed, or no
        attempt left); then nothing is kept.
        """
        from grading.models.marking import Marking

        now = timezone.now()
        with transaction.atomic():
            # One hand-in of an assignment at a time: numbers and shares stay fair.
            assignment = Assignment.objects.select_for_update().get(pk=assignment.pk)
            if not assignment.takes(now):
                raise ValidationError("This assignment does not take recordings now.")
            attempt = assignment.submissions.filter(student=student).count() + 1
            if attempt > assignment.attempts:
                raise ValidationError(
                    f"All {assignment.attempts} attempts of this assignment are used."
                )
            submission = cls.objects.create(
                assignment=assignment,
                student=student,
                attempt=attempt,
                number=_free_number(assignment),
                link=link,
                length_seconds=length_seconds,
                captions=captions,
                consent=CONSENT,
                handed_in_at=now,
            )
            if marker := _next_marker(assignment, student):
                Marking.objects.create(submission=submission, marker=marker)
            AuditEntry.objects.append(
                actor=student,
                verb=AuditEntry.Verb.HANDED_IN,
                about=f"submission {submission.pk}",
                course=assignment.course,
                attempt=attempt,
                consent=CONSENT,
            )
        return submission


def _free_number(assignment: Assignment) -> int:
    used = set(assignment.submissions.values_list("number", flat=True))
    return random.SystemRandom().choice(
        [n for n in range(1, 2 * len(used) + 100) if n not in used]
    )


def _next_marker(assignment: Assignment, student: User) -> User | None:
    """The marker with the fewest recordings of this assignment; ties by chance."""
    markers = list(
        assignment.markers.exclude(pk=student.pk).annotate(
            held=Count(
                "markings", filter=Q(markings__submission__assignment=assignment)
            )
        )
    )
    if not markers:
        return None
    fewest = min(marker.held for marker in markers)
    return random.SystemRandom().choice([m for m in markers if m.held == fewest])
