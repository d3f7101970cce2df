from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry, User
from accounts.roles import Act
from grading.desk_figures import OUTCOMES, running_checks
from grading.forms.desk_release import CorrectionForm, ReleaseForm, ReopenForm
from grading.models import Marking, Release
from grading.models.change import Closed
from grading.models.release import Incomplete
from grading.played import unplayed
from grading.queue import in_order
from grading.scoring import Result
from grading.scoring.shown import points_shown


@signed_in
@never_cache
@require_http_methods(["GET", "POST"])
def desk_release(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What is open; or the result as it would be released, and one confirmation."""
    marking = _marking(request, pk)
    if marking.closed:
        return render(
            request, "grading/desk_released.html", _released(request.user, marking)
        )
    corrects = Release.objects.current().filter(submission=marking.submission).first()
    kind = CorrectionForm if corrects else ReleaseForm
    form = kind(
        request.POST or None,
        initial={"version": marking.version, "reason": marking.reopened_because},
    )
    status = 200
    if request.method == "POST":
        if form.is_valid() and form.cleaned_data["version"] == marking.version:
            reason = form.cleaned_data.get("reason", "")
            try:
                Release.of_marking(marking, by=request.user, reason=reason)
            except (Incomplete, Closed):
                messages.error(request, "Nothing was released: see what stands now.")
            return redirect("grading:desk_release", pk=pk)
        status = 409 if form.is_valid() else 422
        if status == 409:
            messages.error(
                request,
                "The sheet was changed after you opened this page. Nothing was "
                "released: look at what stands now.",
            )
            form = kind(initial=form.cleaned_data | {"version": marking.version})
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.SAW,
        about=f"marking {marking.pk}",
        course=marking.assignment.course,
        submission=marking.submission_id,
    )
    context = _shown(marking, marking.result()) | {"form": form, "corrects": corrects}
    return render(request, "grading/desk_release.html", context, status=status)


@signed_in
@require_POST
def reopen(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Opens a released marking for a correction."""
    marking = _marking(request, pk)
    form = ReopenForm(request.POST)
    if not form.is_valid():
        context = _released(request.user, marking) | {"reopen_form": form}
        return render(request, "grading/desk_released.html", context, status=422)
    try:
        marking.reopen(by=request.user, reason=form.cleaned_data["reason"])
    except ValueError:
        messages.info(request, "This marking is open already.")
    else:
        messages.success(
            request, "Open for a correction. The release stays until then."
        )
    return redirect("grading:desk", pk=pk)


def _marking(request: AuthenticatedHttpRequest, pk: int) -> Marking:
    marking = get_object_or_404(
        Marking.objects.visible_to(request.user).for_desk(), pk=pk
    )
    require(request.user, Act.RELEASE, marking.assignment.course)
    return marking


def _shown(marking: Marking, result: Result) -> dict[str, Any]:
    """The result in the words of the page; `open` is what must be done first."""
    definition = marking.definition
    length = marking.length_seconds
    return {
        "marking": marking,
        "submission": marking.submission,
        "assignment": marking.assignment,
        "result": result,
        "outcome": OUTCOMES[result.outcome],
        "earned": points_shown(result.earned),
        "possible": points_shown(result.possible),
        "worst": result.range and OUTCOMES[result.range.worst.outcome],
        "best": result.range and OUTCOMES[result.range.best.outcome],
        "awaited": [
            check
            for check in running_checks(marking, marking.sheet(), result)
            if check["result"] == "awaited"
        ],
        "open_elements": [
            definition.elements[definition.index[key]] for key in result.open.elements
        ],
        "unplayed": unplayed(marking.played, float(length)) if length else [],
        "length_known": length is not None,
    }


def _released(user: User, marking: Marking) -> dict[str, Any]:
    waiting = in_order(Marking.objects.queue_of(user), timezone.now())
    return {
        "marking": marking,
        "submission": marking.submission,
        "assignment": marking.assignment,
        "release": marking.releases.order_by("-released_at").first(),
        "next": waiting[0] if waiting else None,
        "waiting": len(waiting),
        "reopen_form": ReopenForm(),
    }
