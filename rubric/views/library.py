from __future__ import annotations

from django.contrib import messages
from django.db.models import Max
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from accounts.access import AuthenticatedHttpRequest, require_somewhere, signed_in
from accounts.roles import Act
from rubric.forms import CopyForm, ImportForm
from rubric.library import starters
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


@signed_in
@require_GET
def library(request: AuthenticatedHttpRequest) -> HttpResponse:
    """The starter rubrics, counted, to look at and to copy."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    return _library(request, _form(request))


@signed_in
@require_GET
def starter(request: AuthenticatedHttpRequest, name: str) -> HttpResponse:
    """One starter rubric with what each of its elements rests on."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    if name not in starters():
        raise Http404(f"There is no starter rubric {name}.")
    context = {"starter": starters()[name], "form": _form(request)}
    return render(request, "rubric/starter.html", context)


@signed_in
@require_POST
def copy(request: AuthenticatedHttpRequest) -> HttpResponse:
    """Copy a starter rubric into a course, as a new draft."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    form = _form(request, request.POST)
    if not form.is_valid():
        return _library(request, form, status=422)
    name, course = form.cleaned_data["starter"], form.cleaned_data["course"]
    rubric = Rubric.copy_in(
        starters()[name].definition, course=course, by=request.user, of=name
    )
    messages.success(
        request, f"{rubric.title} is copied into {course}. Adapt it to local policy."
    )
    return redirect(rubric)


def _form(request: AuthenticatedHttpRequest, sent: QueryDict | None = None) -> CopyForm:
    titles = {name: starter.title for name, starter in starters().items()}
    return CopyForm(sent, user=request.user, starters=titles)


def _library(
    request: AuthenticatedHttpRequest, form: CopyForm, status: int = 200
) -> HttpResponse:
    context = {"starters": starters().values(), "form": form}
    return render(request, "rubric/library.html", context, status=status)
