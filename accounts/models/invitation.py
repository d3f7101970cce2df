"""A single-use way into a course."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import Any, Self

from django.db import models, transaction
from django.utils import timezone

from accounts.models.audit import AuditEntry
from accounts.models.course import Cohort, Course
from accounts.models.membership import Membership
from accounts.models.person import User

LIFE = timedelta(days=7)


class InvitationClosedError(ValueError):
    """Somebody was quicker, or the days have run out."""


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def open(self) -> Self:
        return self.filter(used_at__isnull=True, expires_at__gt=timezone.now())

    def for_people(self) -> Self:
        return self.select_related("cohort", "invited_by").order_by("name", "email")

    def by_token(self, token: str) -> Invitation | None:
        """The invitation that was mailed with the token, open or not."""
        return (
            self.select_related("course", "cohort", "invited_by")
            .filter(token_hash=_hash(token))
            .first()
        )


class Invitation(models.Model):
    """Only the token's hash is kept; the mail holds the token."""

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

    @property
    def is_open(self) -> bool:
        return self.used_at is None and self.expires_at > timezone.now()

    @classmethod
    def invite(cls, *, by: User, email: str, **fields: Any) -> tuple[Self, str]:
        """A new invitation and the token to send; the token is not kept.

        An open invitation of the same person to the same role is closed by it.
        """
        token = secrets.token_urlsafe(32)
        with transaction.atomic():
            cls.objects.open().filter(
                course=fields["course"], role=fields["role"], email=email.lower()
            ).update(expires_at=timezone.now())
            invitation = cls.objects.create(
                invited_by=by,
                email=email.lower(),
                token_hash=_hash(token),
                expires_at=timezone.now() + LIFE,
                **fields,
            )
            invitation.log(AuditEntry.Verb.INVITED, by=by)
        return invitation, token

    def withdraw(self, *, by: User) -> None:
        """The token opens nothing from now on."""
        with transaction.atomic():
            self.expires_at = timezone.now()
            self.save(update_fields=["expires_at"])
            self.log(AuditEntry.Verb.WITHDREW, by=by)

    def join(self, user: User) -> Membership:
        """The person takes up the role. Raises InvitationClosedError when it is too late."""
        with transaction.atomic():
            still_open = Invitation.objects.open().filter(pk=self.pk)
            if not still_open.update(used_at=timezone.now()):
                raise InvitationClosedError(str(self))
            membership, _ = Membership.objects.update_or_create(
                user=user,
                course=self.course,
                role=self.role,
                defaults={"cohort": self.cohort},
            )
            membership.log(AuditEntry.Verb.JOINED, by=user)
        return membership

    def join_as_new(self, *, name: str, password: str) -> User:
        """The same for somebody who has no sign-in here yet."""
        with transaction.atomic():
            user = User.objects.create_user(self.email, password, name=name)
            self.join(user)
        return user

    def log(self, verb: AuditEntry.Verb, *, by: User) -> None:
        AuditEntry.objects.append(
            actor=by,
            verb=verb,
            about=f"invitation {self.pk}",
            course=self.course,
            role=self.role,
        )


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
