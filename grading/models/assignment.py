from __future__ import annotations

import secrets
from datetime import datetime
from typing import TYPE_CHECKING, Any, Self

from django.db import models, transaction
from django.db.models import Exists, F, OuterRef, Prefetch, Q
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, Cohort, Course, User
from accounts.roles import Act
from rubric.models import Edition

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.contrib.auth.models import AnonymousUser

    from grading.models.submission import Submission


def _seed() -> int:
    return secrets.randbelow(2**31)


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        """Students see their own cohort's once it opens; who marks in the course, all."""
        if not isinstance(user, User):
            return self.none()
        marked = Course.objects.where_may(user, Act.MARK)
        handed_in = user.memberships.filter(role="student").values("cohort")
        return self.filter(
            Q(cohort__course__in=marked)
            | Q(cohort__in=handed_in, opens_at__lte=timezone.now())
        )

    def for_student(self, user: User) -> Self:
        """Open to this person to hand in to."""
        return self.visible_to(user).filter(
            cohort__in=user.memberships.filter(role="student").values("cohort")
        )

    def for_student_home(self, user: User) -> Self:
        """With the person's own submissions and what came back, newest last."""
        from grading.models.release import Release
        from grading.models.submission import Submission

        releases = Prefetch(
            "releases", Release.objects.current(), to_attr="current_releases"
        )
        own = Submission.objects.filter(student=user).order_by("attempt")
        return (
            self.for_student(user)
            .select_related("cohort__course", "edition")
            .defer("edition__document")
            .prefetch_related(
                Prefetch("submissions", own.prefetch_related(releases), to_attr="own")
            )
        )

    def with_releases_first(self) -> Self:
        """Those with a release before those without, else in the order they had."""
        from grading.models.release import Release

        released = Exists(Release.objects.filter(assignment=OuterRef("pk")))
        return self.annotate(is_released=released).order_by(
            "-is_released", *self.query.order_by
        )

    def led_by(self, user: User) -> Self:
        """Of the courses that the person leads."""
        return (
            self.filter(
                cohort__course__in=Course.objects.where_may(user, Act.SEE_COHORT)
            )
            .select_related("cohort__course", "edition")
            .defer("edition__document")
            .order_by("cohort__course__title", "-due_at")
        )


class Assignment(models.Model):
    """An edition set for a cohort, with a purpose, dates and a policy."""

    class Purpose(models.TextChoices):
        PRACTICE = "practice"
        FORMATIVE = "formative"
        SUMMATIVE = "summative"

    class Late(models.TextChoices):
        SHOWN = "shown", "taken, and shown as late"
        REFUSED = "refused", "refused"

    class ConfirmedBy(models.TextChoices):
        MARKER = "marker", "the marker"
        SECOND = "second", "a second person"

    title = models.CharField(max_length=200)
    cohort = models.ForeignKey(Cohort, models.PROTECT, related_name="assignments")
    edition = models.ForeignKey(Edition, models.PROTECT, related_name="assignments")
    purpose = models.CharField(max_length=20, choices=Purpose.choices)
    opens_at = models.DateTimeField()
    due_at = models.DateTimeField()
    return_at = models.DateTimeField()
    attempts = models.PositiveSmallIntegerField(default=1)
    late = models.CharField(max_length=10, choices=Late.choices, default=Late.SHOWN)
    captions_required = models.BooleanField(default=False)
    names_hidden = models.BooleanField(default=True)
    markers_shown = models.BooleanField(default=False)
    hazards_confirmed_by = models.CharField(
        max_length=10, choices=ConfirmedBy.choices, default=ConfirmedBy.MARKER
    )
    markers = models.ManyToManyField(User, related_name="+")
    seed = models.PositiveIntegerField(default=_seed, editable=False)
    if TYPE_CHECKING:
        own: list[Submission]  # filled by for_student_home

    objects = AssignmentQuerySet.as_manager()

    class Meta:
        ordering = ("-due_at", "title")
        constraints = (
            models.CheckConstraint(
                condition=Q(due_at__gt=F("opens_at")), name="due_after_opening"
            ),
            models.CheckConstraint(
                condition=Q(return_at__gte=F("due_at")), name="returned_after_due"
            ),
            models.CheckConstraint(
                condition=Q(attempts__gte=1), name="at_least_one_attempt"
            ),
        )

    def __str__(self) -> str:
        return f"{self.title}, {self.cohort}"

    def get_absolute_url(self) -> str:
        return reverse("grading:assignment", args=[self.pk])

    @property
    def course(self) -> Course:
        return self.cohort.course

    @property
    def shows_figures_early(self) -> bool:
        """Only practice may show total and outcome before every element has a state."""
        return self.purpose == self.Purpose.PRACTICE

    def takes(self, at: datetime) -> bool:
        """Whether a recording may be handed in at this time."""
        if at < self.opens_at:
            return False
        return at <= self.due_at or self.late == self.Late.SHOWN

    @classmethod
    def set_for(
        cls, cohort: Cohort, *, by: User, markers: Iterable[User], **fields: Any
    ) -> Assignment:
        """Set an edition for a cohort, with who marks it."""
        with transaction.atomic():
            assignment = cls.objects.create(cohort=cohort, **fields)
            assignment.markers.set(markers)
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.ASSIGNED,
                about=f"assignment {assignment.pk}",
                course=cohort.course,
                edition=assignment.edition_id,
                markers=sorted(m.pk for m in assignment.markers.all()),
            )
        return assignment
