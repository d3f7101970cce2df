from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.roles import Act
from rubric.faults import Faults
from rubric.forms import PublishForm
from rubric.models import Edition, Rubric


@signed_in
@require_POST
def publish(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Freeze the draft as the next edition."""
    rubric = get_object_or_404(Rubric.objects.visible_to(request.user), pk=pk)
    require(request.user, Act.MANAGE_RUBRICS, rubric.course)
    form = PublishForm(request.POST)
    if form.is_valid():
        try:
            edition = rubric.publish(by=request.user, note=form.cleaned_data["note"])
        except Faults as faults:
            for fault in faults.faults:
                messages.error(request, f"Not published: {fault}")
            return redirect(rubric)
        messages.success(request, f"{edition} is published and can be assigned.")
        return redirect(edition)
    messages.error(request, "Not published: the note is longer than 500 characters.")
    return redirect(rubric)


@signed_in
@require_GET
def edition(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """One frozen edition, whole."""
    found = get_object_or_404(
        Edition.objects.visible_to(request.user).select_related(
            "rubric__course", "published_by"
        ),
        pk=pk,
    )
    return render(
        request,
        "rubric/edition.html",
        {"edition": found, "definition": found.definition},
    )
