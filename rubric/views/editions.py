from __future__ import annotations

from collections import Counter
from typing import Any

from django.contrib import messages
from django.db import IntegrityError
from django.db.models import ProtectedError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.roles import Act
from rubric.models import Edition


@signed_in
@require_GET
def edition(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """One frozen edition, whole."""
    return _shown(request, _found(request, pk))


@signed_in
@require_POST
def edition_delete(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Delete an edition; while anything refers to it the store refuses, and says what."""
    found = _found(request, pk)
    require(request.user, Act.MANAGE_RUBRICS, found.rubric.course)
    try:
        found.discard(by=request.user)
    except ProtectedError as protected:
        kinds = Counter(row._meta for row in protected.protected_objects)
        what = " and ".join(
            f"{n} {kind.verbose_name if n == 1 else kind.verbose_name_plural}"
            for kind, n in kinds.items()
        )
        refers = "refers" if sum(kinds.values()) == 1 else "refer"
        return _shown(request, _found(request, pk), f"{what} {refers} to it.")
    except IntegrityError:  # what was not there when Django looked a moment ago
        began = "something has begun to refer to it just now."
        return _shown(request, _found(request, pk), began)
    messages.success(request, f"{found} is deleted. Its number is not given again.")
    return redirect(found.rubric)


def _found(request: AuthenticatedHttpRequest, pk: int) -> Edition:
    return get_object_or_404(
        Edition.objects.visible_to(request.user).select_related(
            "rubric__course", "published_by"
        ),
        pk=pk,
    )


def _shown(
    request: AuthenticatedHttpRequest, found: Edition, refusal: str = ""
) -> HttpResponse:
    """The page; where the edition could not be deleted, with the reason."""
    context: dict[str, Any] = {"edition": found, "definition": found.definition}
    if refusal:
        context["refusal"] = f"It is not deleted: {refusal}"
    status = 409 if refusal else 200
    return render(request, "rubric/edition.html", context, status=status)
