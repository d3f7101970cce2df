from __future__ import annotations

from typing import cast

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry
from accounts.roles import Act
from rubric.exports import CONTENT_TYPES, Exported, Kind, exported, exported_draft
from rubric.models import Edition, Rubric


@signed_in
@never_cache
@require_GET
def export(request: AuthenticatedHttpRequest, pk: int, kind: str) -> HttpResponse:
    """The draft as a file, whether it is finished or not."""
    rubric = get_object_or_404(
        Rubric.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.MANAGE_RUBRICS, rubric.course)
    file = exported_draft(rubric.opened, rubric.title, cast(Kind, kind))
    return _sent(request, rubric, f"rubric {rubric.pk}", file, cast(Kind, kind))


@signed_in
@never_cache
@require_GET
def export_edition(
    request: AuthenticatedHttpRequest, pk: int, kind: str
) -> HttpResponse:
    """An edition as a file."""
    edition = get_object_or_404(
        Edition.objects.visible_to(request.user).select_related("rubric__course"),
        pk=pk,
    )
    require(request.user, Act.MANAGE_RUBRICS, edition.rubric.course)
    which = f"edition-{edition.number}"
    file = exported(edition.definition, edition.title, which, cast(Kind, kind))
    about = f"edition {edition.pk}"
    return _sent(request, edition.rubric, about, file, cast(Kind, kind))


def _sent(
    request: AuthenticatedHttpRequest,
    rubric: Rubric,
    about: str,
    file: Exported,
    kind: Kind,
) -> HttpResponse:
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.EXPORTED,
        about=about,
        course=rubric.course,
        file=file.name,
    )
    return HttpResponse(
        file.text.encode(),
        content_type=f"{CONTENT_TYPES[kind]}; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{file.name}"'},
    )
