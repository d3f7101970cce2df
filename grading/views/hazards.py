from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from accounts.access import (
    AuthenticatedHttpRequest,
    require,
    require_somewhere,
    signed_in,
)
from accounts.models import AuditEntry
from accounts.roles import Act
from grading.models import Marking
from grading.models.change import Closed
from grading.recording import opens_at


@signed_in
@require_GET
def hazards(request: AuthenticatedHttpRequest) -> HttpResponse:
    """Sightings that wait for this person's word: the act, the moment, the recording."""
    require_somewhere(request.user, Act.CONFIRM_HAZARD)
    waiting = []
    for marking in Marking.objects.awaiting_word_of(request.user).for_desk():
        rules = {rule.key: rule for rule in marking.definition.rules}
        for ident, (value, word) in marking.sightings().items():
            if word == "awaiting":
                waiting.append(
                    {
                        "marking": marking,
                        "ident": ident,
                        "rule": rules[value["rule"]],
                        "at": value["at"],
                        "link": opens_at(marking.submission.link, value["at"]),
                    }
                )
    if waiting:
        AuditEntry.objects.append(
            actor=request.user,
            verb=AuditEntry.Verb.SAW,
            about="hazards awaiting a word",
            markings=sorted({row["marking"].pk for row in waiting}),
        )
    return render(request, "grading/hazards.html", {"waiting": waiting})


@signed_in
@require_POST
def hazard_word(
    request: AuthenticatedHttpRequest, pk: int, sighting: str
) -> HttpResponse:
    """A second person's word on one sighting."""
    marking = get_object_or_404(
        Marking.objects.awaiting_word_of(request.user).for_desk(), pk=pk
    )
    require(request.user, Act.CONFIRM_HAZARD, marking.assignment.course)
    try:
        marking.confirm(sighting, request.POST.get("word", ""), by=request.user)
    except (ValueError, Closed):
        messages.error(
            request, "Nothing was changed: this sighting no longer awaits a word."
        )
    else:
        messages.success(request, "Your word is kept.")
    return redirect("grading:hazards")
