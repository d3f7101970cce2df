from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from django.contrib import messages
from django.db import IntegrityError
from django.http import HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from accounts.access import (
    AuthenticatedHttpRequest,
    require,
    require_somewhere,
    signed_in,
)
from accounts.roles import Act
from rubric.definition import Definition, Draft, read, read_lines
from rubric.definition.cells import key_of, keys_in
from rubric.definition.lint import Finding, lint
from rubric.definition.sent import Unreadable
from rubric.definition.weights import Weights, weigh
from rubric.forms import NewForm, read_changes, read_text
from rubric.models import Rubric
from rubric.publishing import since


@signed_in
@require_POST
def new(request: AuthenticatedHttpRequest) -> HttpResponse:
    """Begin a rubric with its title alone, and open it."""
    require_somewhere(request.user, Act.MANAGE_RUBRICS)
    form = NewForm(request.POST, user=request.user)
    if form.is_valid():
        try:
            rubric = Rubric.begin(
                form.cleaned_data["title"],
                course=form.cleaned_data["course"],
                by=request.user,
            )
        except IntegrityError:
            form.add_error("title", "A rubric of the course has this title.")
        else:
            messages.success(request, f"{rubric.title} is begun.")
            return redirect(rubric)
    return render(request, "rubric/new.html", {"form": form}, status=422)


@signed_in
@never_cache
@require_GET
def rubric(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The builder: one draft as it stands, and what is to be said of it."""
    found = _found(request, pk)
    draft = found.opened
    return render(
        request,
        "rubric/builder.html",
        {
            "rubric": found,
            "draft": draft.wire(),
            "editions": found.editions.select_related("published_by").defer("document"),
            **_aside(found, draft),
        },
    )


@signed_in
@never_cache
@require_http_methods(["GET", "POST"])
def changes(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Takes changes and answers each; asked, tells what changed after a version."""
    found = _found(request, pk)
    if request.method == "GET":
        after = request.GET.get("after", "0")
        if not after.isascii() or not after.isdigit() or len(after) > 15:
            return _told("after must be a version, a whole number.", 422)
        draft = found.opened
        answer = _state(request, found, draft, int(after))
        if draft.version == int(after):
            del answer["aside"]
        return JsonResponse(answer)
    try:
        sent = read_changes(request)
        if sent.person not in (None, request.user.pk):
            return _told("another person", 409)
        draft, results = found.change(sent.changes, by=request.user)
    except Unreadable as unreadable:
        return _told(str(unreadable), 422)
    answer = _state(request, found, draft, sent.after)
    return JsonResponse(answer | {"results": results})


@signed_in
@require_POST
def paste(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What the lines of a pasted text would become; nothing is kept."""
    found = _found(request, pk)
    try:
        text, section = read_text(request)
        draft = found.opened
        key = key_of(draft.nodes[section]) if section in draft.nodes else ""
        rows = read_lines(text, keys=keys_in(draft), section=key)
    except ValueError as error:
        return _told(str(error), 422)
    return JsonResponse({"rows": rows})


def _found(request: AuthenticatedHttpRequest, pk: int) -> Rubric:
    rubric = get_object_or_404(
        Rubric.objects.visible_to(request.user).select_related("course", "changed_by"),
        pk=pk,
    )
    require(request.user, Act.MANAGE_RUBRICS, rubric.course)
    return rubric


def _state(
    request: AuthenticatedHttpRequest, rubric: Rubric, draft: Draft, after: int | None
) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "version": draft.version,
        "person": request.user.pk,
        "csrf": get_token(request),
        "order": draft.order,
        "aside": render_to_string("rubric/_aside.html", _aside(rubric, draft), request),
    }
    if after is not None:
        answer["nodes"] = draft.changed_after(after)
    return answer


def _aside(rubric: Rubric, draft: Draft) -> dict[str, Any]:
    """What stands beside the draft: what is wrong with it, and where it stands."""
    last = rubric.editions.first()
    findings, weights, definition = _said_of(draft.file())
    return {
        "rubric": rubric,
        "lint": [replace(f, node=draft.node_at(f.place)) for f in findings],
        "weights": weights,
        "last": last,
        "lines": since(last, definition) if last and definition else None,
    }


@lru_cache(maxsize=16)  # every open page asks for it, of the same text
def _said_of(
    file: str,
) -> tuple[tuple[Finding, ...], Weights | None, Definition | None]:
    """The findings; where there is no error also the weights, and what it says."""
    findings = lint(file)
    if any(finding.weight == "must" for finding in findings):
        return findings, None, None
    definition = read(file, "the draft")
    return findings, weigh(definition), definition


def _told(words: str, status: int) -> JsonResponse:
    return JsonResponse({"error": words}, status=status)
