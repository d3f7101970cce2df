"""Who gets in: the only place that turns a request away with 403."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

if TYPE_CHECKING:
    from accounts.models import Course, User
    from accounts.roles import Act

signed_in = login_required


class AuthenticatedHttpRequest(HttpRequest):
    """A request behind `signed_in`; for annotations."""

    user: User  # type: ignore[assignment]


def require(user: User, act: Act, course: Course) -> None:
    """403 unless one of the person's roles in the course allows the act."""
    if not user.may(act, course):
        raise PermissionDenied(f"Your role in {course} does not let you {act}.")


def require_administrator(user: User) -> None:
    """403 for everyone who does not run the site."""
    if not user.is_administrator:
        raise PermissionDenied("Only an administrator of this site may do this.")
