"""People, courses and who is what in them."""

from __future__ import annotations

import hashlib
import json
import secrets
import unicodedata
from datetime import UTC, timedelta
from typing import TYPE_CHECKING, Any, ClassVar, Self

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import connection, models, transaction
from django.db.models.functions import Lower
from django.utils import timezone

from accounts.roles import ACTS, Act, Role, allows, roles_that_may

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser

INVITATION_LIFE = timedelta(days=7)
AUDIT_LOCK = 7_260_411  # any number that nothing else on the database uses


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None, **fields: Any) -> User:
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str, **fields: Any) -> User:
        return self.create_user(email, password, is_administrator=True, **fields)

    def get_by_natural_key(self, username: str | None) -> User:
        return self.get(email__iexact=username)


class User(AbstractBaseUser):
    email = models.EmailField(max_length=254, unique=True)
    name = models.CharField(max_length=200)
    is_active = models.BooleanField(default=True)
    is_administrator = models.BooleanField(default=False)
    joined_at = models.DateTimeField(default=timezone.now)

    objects: ClassVar[UserManager] = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    class Meta:
        constraints = (
            models.UniqueConstraint(Lower("email"), name="user_email_in_any_case"),
        )

    def __str__(self) -> str:
        return self.name

    def get_full_name(self) -> str:
        return self.name

    def set_password(self, raw_password: str | None) -> None:
        super().set_password(_composed(raw_password))

    def check_password(self, raw_password: str | None) -> bool:
        return super().check_password(_composed(raw_password))

    def roles_in(self, course: Course) -> frozenset[Role]:
        """Every role held in the course; administrators hold theirs everywhere."""
        roles = {
            Role(role)
            for role in self.memberships.filter(course=course).values_list(
                "role", flat=True
            )
        }
        if self.is_administrator:
            roles.add(Role.ADMINISTRATOR)
        return frozenset(roles)

    def may(self, act: Act, course: Course) -> bool:
        return allows(self.roles_in(course), act)

    def acts_anywhere(self) -> frozenset[Act]:
        """Every act that some course lets the person do."""
        roles = {Role(role) for role in self.memberships.values_list("role", flat=True)}
        if self.is_administrator:
            roles.add(Role.ADMINISTRATOR)
        return frozenset().union(*(ACTS[role] for role in roles))


def _composed(password: str | None) -> str | None:
    """One spelling for what keyboards send in two ways (NIST SP 800-63B-4, 3.1.1.2)."""
    return None if password is None else unicodedata.normalize("NFC", password)


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


class Course(models.Model):
    title = models.CharField(max_length=200, unique=True)

    objects = CourseQuerySet.as_manager()

    class Meta:
        ordering = ("title",)

    def __str__(self) -> str:
        return self.title


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


class Membership(models.Model):
    """One role of one person in one course; a student's names the cohort."""

    class CourseRole(models.TextChoices):
        STUDENT = Role.STUDENT.value
        INSTRUCTOR = Role.INSTRUCTOR.value
        LEAD = Role.LEAD.value, "course lead"

    user = models.ForeignKey(User, models.PROTECT, related_name="memberships")
    course = models.ForeignKey(Course, models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=20, choices=CourseRole.choices)
    cohort = models.ForeignKey(
        Cohort, models.PROTECT, related_name="memberships", null=True, blank=True
    )

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


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def open(self) -> Self:
        return self.filter(used_at__isnull=True, expires_at__gt=timezone.now())

    def by_token(self, token: str) -> Invitation | None:
        return self.open().filter(token_hash=_hash(token)).first()


class Invitation(models.Model):
    """A single-use way in. Only the token's hash is kept; the mail holds the token."""

    course = models.ForeignKey(Course, models.CASCADE, related_name="invitations")
    cohort = models.ForeignKey(Cohort, models.CASCADE, null=True, blank=True)
    role = models.CharField(max_length=20, choices=Membership.CourseRole.choices)
    email = models.EmailField(max_length=254)
    name = models.CharField(max_length=200, blank=True)
    token_hash = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.email} to {self.course}"

    @classmethod
    def invite(cls, *, by: User, **fields: Any) -> tuple[Self, str]:
        """A new invitation and the token to send; the token is not kept."""
        token = secrets.token_urlsafe(32)
        with transaction.atomic():
            invitation = cls.objects.create(
                invited_by=by,
                token_hash=_hash(token),
                expires_at=timezone.now() + INVITATION_LIFE,
                **fields,
            )
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.INVITED,
                about=f"invitation {invitation.pk}",
                course=invitation.course,
                role=invitation.role,
            )
        return invitation, token


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


class AuditQuerySet(models.QuerySet["AuditEntry"]):
    def append(
        self,
        *,
        actor: User | None,
        verb: AuditEntry.Verb,
        about: str,
        course: Course | None = None,
        **detail: Any,
    ) -> AuditEntry:
        """Add one entry to the chain; call it last in the act's own transaction.

        Two writers must not read the same last entry. SQLite's immediate transactions
        already keep writers apart; PostgreSQL takes a lock that ends with the
        transaction, which is why this comes last.
        """
        with transaction.atomic():
            if connection.vendor == "postgresql":
                with connection.cursor() as cursor:
                    cursor.execute("SELECT pg_advisory_xact_lock(%s)", [AUDIT_LOCK])
            last = self.order_by("-number").values_list("number", "digest").first()
            number, previous = last or (0, "")
            entry = self.model(
                number=number + 1,
                at=timezone.now(),
                actor=actor,
                verb=verb,
                about=about,
                course=course,
                detail=json.dumps(detail, sort_keys=True, ensure_ascii=False),
                previous=previous,
            )
            entry.digest = entry.compute_digest()
            entry.save(force_insert=True)
        return entry


class AuditEntry(models.Model):
    """Who did or saw what. Append-only (the store refuses changes), chained by hash."""

    class Verb(models.TextChoices):
        SIGNED_IN = "signed in"
        SET_PASSWORD = "set password"  # noqa: S105 (a verb, no password)
        INVITED = "invited"
        JOINED = "joined"
        GAVE_ROLE = "gave role"
        TOOK_ROLE = "took role"
        OPENED_COURSE = "opened course"
        IMPORTED = "imported rubric"
        PUBLISHED = "published edition"
        ASSIGNED = "set assignment"
        HANDED_IN = "handed in"
        SAW = "saw"
        MARKED = "marked"
        REFUSED = "refused an older write"
        CONFIRMED = "confirmed hazard"
        RELEASED = "released"
        REOPENED = "reopened"
        EXPORTED = "exported"

    number = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = models.ForeignKey(User, models.PROTECT, null=True, related_name="+")
    verb = models.CharField(max_length=30)
    about = models.CharField(max_length=200)
    course = models.ForeignKey(Course, models.PROTECT, null=True, related_name="+")
    detail = models.TextField()
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    objects = AuditQuerySet.as_manager()

    class Meta:
        ordering = ("number",)

    def __str__(self) -> str:
        return f"{self.number}: {self.actor} {self.verb} {self.about}"

    def compute_digest(self) -> str:
        """SHA-256 over every field and the digest before it."""
        said = [
            self.number,
            self.at.astimezone(UTC).isoformat(timespec="microseconds"),
            self.actor_id,
            self.verb,
            self.about,
            self.course_id,
            self.detail,
            self.previous,
        ]
        return hashlib.sha256(json.dumps(said, ensure_ascii=False).encode()).hexdigest()
