"""Who is what in a course."""

from __future__ import annotations

from typing import Self

from django.db import models, transaction

from accounts.models.audit import AuditEntry
from accounts.models.course import Cohort, Course
from accounts.models.person import User
from accounts.roles import Role


class LastLeadError(ValueError):
    """A course keeps at least one lead."""

    def __init__(self, course: Course) -> None:
        super().__init__(
            f"{course} has no other lead. Give somebody else that role first."
        )


class MembershipQuerySet(models.QuerySet["Membership"]):
    def for_people(self) -> Self:
        """By name, with the person and the cohort."""
        return self.select_related("user", "cohort").order_by(
            "user__name", "user__pk", "role"
        )

    def give(
        self,
        *,
        user: User,
        course: Course,
        role: Role,
        by: User,
        cohort: Cohort | None = None,
    ) -> Membership:
        """The person has the role from now on; a student may change cohorts this way."""
        with transaction.atomic():
            membership, _ = self.update_or_create(
                user=user, course=course, role=role, defaults={"cohort": cohort}
            )
            membership.log(AuditEntry.Verb.GAVE_ROLE, by=by)
        return membership


class Membership(models.Model):
    """One role of one person in one course; a student's names the cohort."""

    class CourseRole(models.TextChoices):
        STUDENT = Role.STUDENT.value, "student"
        INSTRUCTOR = Role.INSTRUCTOR.value, "instructor"
        LEAD = Role.LEAD.value, "course lead"

    user = models.ForeignKey(User, models.PROTECT, related_name="memberships")
    course = models.ForeignKey(Course, models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=20, choices=CourseRole.choices)
    cohort = models.ForeignKey(
        Cohort, models.PROTECT, related_name="memberships", null=True, blank=True
    )

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("user", "course", "role"), name="role_once_a_course"
            ),
            models.CheckConstraint(
                condition=models.Q(role="student", cohort__isnull=False)
                | (~models.Q(role="student") & models.Q(cohort__isnull=True)),
                name="students_and_only_students_have_a_cohort",
            ),
        )

    def __str__(self) -> str:
        return f"{self.user}, {self.role} of {self.course}"

    def words(self) -> str:
        """`student in Autumn, section B`, `course lead`."""
        role = self.get_role_display()
        return f"{role} in {self.cohort}" if self.cohort else role

    def take_away(self, *, by: User) -> None:
        """End the role. Raises LastLeadError where it would leave the course without one."""
        with transaction.atomic():
            # Two leads who end each other's role at once must not both succeed.
            course = Course.objects.select_for_update().get(pk=self.course_id)
            leads = course.memberships.filter(role=Role.LEAD)
            if self.role == Role.LEAD and not leads.exclude(pk=self.pk).exists():
                raise LastLeadError(course)
            self.delete()
            self.log(AuditEntry.Verb.TOOK_ROLE, by=by)

    def log(self, verb: AuditEntry.Verb, *, by: User) -> None:
        detail = {"cohort": self.cohort.title} if self.cohort else {}
        AuditEntry.objects.append(
            actor=by,
            verb=verb,
            about=f"person {self.user_id}",
            course=self.course,
            role=self.role,
            **detail,
        )
