from __future__ import annotations

import json
from typing import Any

from django.http import Http404, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry
from accounts.roles import Act
from grading.desk_figures import figures
from grading.desk_sheet import rating_of, remarks_of, sections_of
from grading.forms.desk import Unreadable, read_save
from grading.models import Marking, Phrase
from grading.models.change import Closed
from grading.recording import Playback, playback

# The states in the order of the sheet, with the keys as they come.
STATES = (
    ("done", "done", "d"),
    ("partly", "partly", "p"),
    ("said", "said only", "s"),
    ("missed", "missed", "m"),
    ("unseen", "not seen", "n"),
    ("excused", "excused", "x"),
)


@signed_in
@never_cache
@require_GET
def desk(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The page where marking happens."""
    marking = get_object_or_404(
        Marking.objects.visible_to(request.user).for_desk(), pk=pk
    )
    require(request.user, Act.MARK, marking.assignment.course)
    _seen(request, marking)
    plays = playback(marking.submission.link)
    response = render(
        request,
        "grading/desk.html",
        {
            "marking": marking,
            "submission": marking.submission,
            "assignment": marking.assignment,
            "definition": marking.definition,
            "sections": sections_of(marking),
            "rating": rating_of(marking),
            "remarks": remarks_of(marking),
            "playback": plays,
            "release": marking.releases.order_by("-released_at").first(),
            "kinds": Phrase.Kind.choices,
            "states": STATES,
            "hazards": [r for r in marking.definition.rules if r.kind == "hazard"],
            "may_excuse_any": request.user.may(
                Act.EXCUSE_ANY, marking.assignment.course
            ),
            "desk": json.dumps(
                _state(request, marking) | _fixed(request, marking, plays)
            ),
        },
    )
    if plays.origin:
        directive = "media-src" if plays.plays == "file" else "frame-src"
        response._csp_update = {directive: [plays.origin]}  # type: ignore[attr-defined] # django-csp's way
    return response


@signed_in
@never_cache
@require_GET
def desk_state(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Where the marking stands; the sheet itself only when it is newer than ?version."""
    marking = get_object_or_404(
        Marking.objects.visible_to(request.user).for_desk(), pk=pk
    )
    require(request.user, Act.MARK, marking.assignment.course)
    if request.GET.get("version") == str(marking.version):
        return JsonResponse(_short(request, marking))
    _seen(request, marking)
    return JsonResponse(_state(request, marking))


@signed_in
@never_cache
@require_POST
def desk_save(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Takes changes; answers each of them, and the figures that follow."""
    # Who may see a marking may mark it: nothing more is asked of the store for that. The
    # sheet itself is read under the lock, and only there.
    marking = Marking.objects.for_save(pk, by=request.user)
    if marking is None:
        raise Http404
    try:
        save = read_save(request.body, marking.definition)
        if save.person != request.user.pk:
            return JsonResponse({"error": "another person"}, status=409)
        saved = marking.record(save.changes, by=request.user, played=save.played)
    except Unreadable as unreadable:
        return JsonResponse({"error": str(unreadable)}, status=400)
    except Closed:
        return JsonResponse({"error": "released"}, status=409)
    answer: dict[str, Any] = {
        "version": saved.version,
        "acknowledged": saved.acknowledged,
        "refused": [vars(refusal) for refusal in saved.refused]
        + [
            vars(refusal) | {"current": marking.targets.get(refusal.target)}
            for refusal in save.invalid
        ],
        "figures": figures(marking),
    }
    if saved.before != save.version:
        answer["targets"] = marking.targets
    return JsonResponse(answer)


@signed_in
@require_GET
def desk_captions(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The captions that were handed in, for whoever may open this desk."""
    marking = get_object_or_404(
        Marking.objects.visible_to(request.user).select_related(
            "submission__assignment__cohort__course"
        ),
        pk=pk,
    )
    require(request.user, Act.MARK, marking.assignment.course)
    _seen(request, marking, captions=True)
    return HttpResponse(
        marking.submission.captions, content_type="text/vtt; charset=utf-8"
    )


def _seen(
    request: AuthenticatedHttpRequest, marking: Marking, **detail: object
) -> None:
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.SAW,
        about=f"marking {marking.pk}",
        course=marking.assignment.course,
        submission=marking.submission_id,
        **detail,
    )


def _short(request: AuthenticatedHttpRequest, marking: Marking) -> dict[str, Any]:
    return {
        "person": request.user.pk,
        "csrf": get_token(request),
        "version": marking.version,
        "closed": marking.closed,
    }


def _state(request: AuthenticatedHttpRequest, marking: Marking) -> dict[str, Any]:
    return _short(request, marking) | {
        "targets": marking.targets,
        "figures": figures(marking),
    }


def _fixed(
    request: AuthenticatedHttpRequest, marking: Marking, plays: Playback
) -> dict[str, Any]:
    """What the desk needs beside the state, and what does not change while it is open."""
    here = reverse("grading:desk", args=[marking.pk])
    length = marking.submission.length_seconds
    return {
        "marking": marking.pk,
        "urls": {
            "desk": here,
            "save": reverse("grading:desk_save", args=[marking.pk]),
            "state": reverse("grading:desk_state", args=[marking.pk]),
            "release": reverse("grading:desk_release", args=[marking.pk]),
            "sign_in": reverse("account_login"),
        },
        "played": marking.played,
        "length": None if length is None else float(length),
        "playback": vars(plays) | {"link": marking.submission.link},
        "phrases": list(
            Phrase.objects.for_desk(
                marking.assignment.course, marking.definition.index
            ).values("element", "state", "kind", "text")
        ),
        "hazards": [
            {"key": rule.key, "text": rule.text}
            for rule in marking.definition.rules
            if rule.kind == "hazard"
        ],
    }
