from __future__ import annotations

from django.contrib import messages
from django.db.models import Max
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from accounts.access import AuthenticatedHttpRequest, require_somewhere, signed_in
from accounts.roles import Act
from rubric.forms import ImportForm
from rubric.models import Rubric


@signed_in
@require_GET
def rubrics(request: AuthenticatedHttpRequest) -> HttpResponse:
    """The rubrics of every course in which the person may work on them."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    rows = (
        Rubric.objects.visible_to(request.user)
        .select_related("course", "changed_by")
        .annotate(last_edition=Max("editions__number"))
        .order_by("course__title", "title")
        .defer("draft")
    )
    return render(request, "rubric/list.html", {"rubrics": rows})


@signed_in
@require_http_methods(["GET", "POST"])
def bring_in(request: AuthenticatedHttpRequest) -> HttpResponse:
    """Read a rubric file into a draft; with faults, nothing is kept."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    form = ImportForm(request.POST or None, request.FILES or None, user=request.user)
    if request.method == "POST" and form.is_valid():
        rubric = Rubric.bring_in(
            form.cleaned_data["file"],
            course=form.cleaned_data["course"],
            by=request.user,
        )
        messages.success(request, f"{rubric.title} is in. Publish it to mark with it.")
        return redirect(rubric)
    status = 422 if form.errors else 200
    return render(request, "rubric/import.html", {"form": form}, status=status)
