"""A person who may sign in."""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING, Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models, transaction
from django.db.models.functions import Lower
from django.utils import timezone

from accounts.models.audit import AuditEntry
from accounts.roles import ACTS, Act, Role, allows, roles_that_may

if TYPE_CHECKING:
    from accounts.models.course import Course
    from accounts.models.membership import Membership


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None, **fields: Any) -> User:
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str, **fields: Any) -> User:
        """An administrator, as `createsuperuser` makes one at the command line."""
        with transaction.atomic():
            user = self.create_user(email, password, is_administrator=True, **fields)
            AuditEntry.objects.append(
                actor=None,
                verb=AuditEntry.Verb.GAVE_ROLE,
                about=f"person {user.pk}",
                role=Role.ADMINISTRATOR,
            )
        return user

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

    def check_password(self, raw_password: str) -> bool:
        return super().check_password(_composed(raw_password) or "")

    def roles_in(self, course: Course) -> frozenset[Role]:
        """Every role held in the course; administrators hold theirs everywhere."""
        return self._roles(course=course)

    def courses_where_may(self, act: Act) -> models.QuerySet[Membership, Any]:
        """The courses, as a subquery, in which a membership lets the person do the act."""
        return self.memberships.filter(role__in=roles_that_may(act)).values("course")

    def may(self, act: Act, course: Course) -> bool:
        return allows(self.roles_in(course), act)

    def acts_anywhere(self) -> frozenset[Act]:
        """Every act that some course lets the person do."""
        return frozenset().union(*(ACTS[role] for role in self._roles()))

    def _roles(self, **where: Any) -> frozenset[Role]:
        held = self.memberships.filter(**where).values_list("role", flat=True)
        roles = {Role(role) for role in held}
        if self.is_administrator:
            roles.add(Role.ADMINISTRATOR)
        return frozenset(roles)


def _composed(password: str | None) -> str | None:
    """One spelling for what keyboards send in two ways (NIST SP 800-63B-4, 3.1.1.2)."""
    return None if password is None else unicodedata.normalize("NFC", password)
