"""Who gets in: the only place that turns a request away with 403."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase, JsonResponse

if TYPE_CHECKING:
    from accounts.models import Course, User
    from accounts.roles import Act

_View = Callable[..., HttpResponseBase]


class AuthenticatedHttpRequest(HttpRequest):
    """A request behind `signed_in`; for annotations."""

    user: User


def signed_in(view: _View) -> _View:
    """To the sign-in page and back; a fetch for JSON gets a 401 that it can read."""

    @wraps(view)
    def wrapped(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if request.user.is_authenticated:
            return view(request, *args, **kwargs)
        if request.accepts("text/html"):
            return redirect_to_login(request.get_full_path())
        return JsonResponse({"error": "signed out"}, status=401)

    return wrapped


def require(user: User, act: Act, course: Course) -> None:
    """403 unless one of the person's roles in the course allows the act."""
    if not user.may(act, course):
        raise PermissionDenied(f"Your role in {course} does not let you {act}.")


def require_somewhere(user: User, act: Act) -> None:
    """403 unless some course lets the person do the act: for pages over all courses."""
    if act not in user.acts_anywhere():
        raise PermissionDenied(f"No role that you have lets you {act}.")


def require_administrator(user: User) -> None:
    """403 for everyone who does not run the site."""
    if not user.is_administrator:
        raise PermissionDenied("Only an administrator of this site may do this.")
