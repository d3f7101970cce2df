"""The places in the head of every page: those that the person's roles open."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from django.http import HttpRequest

from accounts.models import User
from accounts.roles import Act


@dataclass(frozen=True)
class Place:
    word: str
    address: str
    is_here: bool


# The packages above mount their pages here; this one may not name their views.
_PLACES = (
    ("Home", "/", Act.SEE_COURSE),
    ("Rubrics", "/rubrics/", Act.MANAGE_RUBRICS),
    ("People", "/courses/", Act.MANAGE_PEOPLE),
    ("Audit", "/audit/", Act.SEE_AUDIT),
)


def navigation(request: HttpRequest) -> dict[str, Any]:
    """Context processor: `places`, asked of the store only when a page shows them."""
    return {"places": partial(_places, request)}


def _places(request: HttpRequest) -> list[Place]:
    user = getattr(request, "user", None)
    if not isinstance(user, User):
        return []
    acts = user.acts_anywhere() | {Act.SEE_COURSE}
    return [
        Place(word, address, _is_here(request.path, address))
        for word, address, act in _PLACES
        if act in acts
    ]


def _is_here(path: str, address: str) -> bool:
    return path == address if address == "/" else path.startswith(address)
