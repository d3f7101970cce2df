"""Who did and saw what, newest first."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require_somewhere, signed_in
from accounts.forms import AuditFilterForm
from accounts.models import AuditEntry
from accounts.roles import Act

ROWS = 50


@signed_in
@require_GET
def audit(request: AuthenticatedHttpRequest) -> HttpResponse:
    require_somewhere(request.user, Act.SEE_AUDIT)
    form = AuditFilterForm(request.GET)
    entries = AuditEntry.objects.visible_to(request.user).for_page()
    if form.is_valid():
        entries = entries.matching(**form.cleaned_data)
    shown = list(entries[: ROWS + 1])
    query = request.GET.copy()
    query.pop("before", None)
    newest = query.urlencode()
    query["before"] = str(shown[ROWS - 1].number) if len(shown) > ROWS else ""
    return render(
        request,
        "accounts/audit.html",
        {
            "entries": shown[:ROWS],
            "form": form,
            "newest": newest,
            "older": query.urlencode() if query["before"] else "",
        },
    )
