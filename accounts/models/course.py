"""Courses and their cohorts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

from django.db import models, transaction

from accounts.models.audit import AuditEntry
from accounts.models.person import User
from accounts.roles import Act, Role, roles_that_may

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser


class CourseQuerySet(models.QuerySet["Course"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        if not isinstance(user, User):
            return self.none()
        if user.is_administrator:
            return self
        return self.filter(pk__in=user.memberships.values("course"))

    def where_may(self, user: User, act: Act) -> Self:
        """Courses in which one of the person's roles allows the act."""
        roles = roles_that_may(act)
        if user.is_administrator and Role.ADMINISTRATOR in roles:
            return self
        return self.filter(
            pk__in=user.memberships.filter(role__in=roles).values("course")
        )

    def for_list(self) -> Self:
        """With `people`, the number of its people, and its cohorts."""
        people = models.Count("memberships__user", distinct=True)
        return self.annotate(people=people).prefetch_related("cohorts")

    def open(self, *, title: str, by: User) -> Course:
        """A new course, empty until its lead is invited."""
        with transaction.atomic():
            course = self.create(title=title)
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.OPENED_COURSE,
                about=f"course {course.pk}",
                course=course,
                title=title,
            )
        return course


class Course(models.Model):
    title = models.CharField(max_length=200, unique=True)

    objects = CourseQuerySet.as_manager()

    class Meta:
        ordering = ("title",)

    def __str__(self) -> str:
        return self.title

    def open_cohort(self, *, by: User, **fields: Any) -> Cohort:
        with transaction.atomic():
            cohort = self.cohorts.create(**fields)
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.OPENED_COHORT,
                about=f"cohort {cohort.pk}",
                course=self,
                title=cohort.title,
            )
        return cohort


class CohortQuerySet(models.QuerySet["Cohort"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        return self.filter(course__in=Course.objects.visible_to(user))


class Cohort(models.Model):
    course = models.ForeignKey(Course, models.PROTECT, related_name="cohorts")
    title = models.CharField(max_length=200)
    starts_on = models.DateField()

    objects = CohortQuerySet.as_manager()

    class Meta:
        ordering = ("-starts_on", "title")
        constraints = (
            models.UniqueConstraint(
                fields=("course", "title"), name="cohort_title_once_a_course"
            ),
        )

    def __str__(self) -> str:
        return self.title
