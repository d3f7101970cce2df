from __future__ import annotations

from datetime import datetime
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, signed_in
from accounts.models import User
from accounts.roles import Act
from grading.models import Assignment, Marking
from grading.queue import in_order, pace, predicted_minutes
from grading.standing import standing


@signed_in
@require_GET
def home(request: AuthenticatedHttpRequest) -> HttpResponse:
    """What waits for me, by role; a person with several roles sees each of them."""
    user = request.user
    acts = user.acts_anywhere()
    context: dict[str, Any] = {"now": timezone.now()}
    if Act.HAND_IN in acts:
        context["assignments"] = _assignments(user, context["now"])
    if Act.MARK in acts:
        queue = _queue(user)
        # A lead who marks nothing is not told so every day.
        if queue["waiting"] or Act.SEE_COHORT not in acts:
            context |= queue
    if Act.CONFIRM_HAZARD in acts:
        context["words_awaited"] = Marking.objects.awaiting_word_of(user).count()
    if Act.SEE_COHORT in acts:
        context["standing"] = standing(Assignment.objects.led_by(user))
    context["is_administrator"] = user.is_administrator
    return render(request, "grading/home.html", context)


def _assignments(user: User, now: datetime) -> list[dict[str, Any]]:
    return [
        {
            "assignment": assignment,
            "awaits_feedback": not assignment.own
            or any(not own.current_releases for own in assignment.own),  # type: ignore[attr-defined] # prefetched
            "takes_another": assignment.takes(now)
            and len(assignment.own) < assignment.attempts,
        }
        for assignment in Assignment.objects.for_student_home(user)
    ]


def _queue(user: User) -> dict[str, Any]:
    now = timezone.now()
    own_pace = pace(Marking.objects.paces_of(user))
    rows = []
    for marking in in_order(Marking.objects.queue_of(user), now):
        elements = len(marking.definition.elements)
        length = marking.submission.length_seconds
        share_left = 1 - marking.marked / elements
        rows.append(
            {
                "marking": marking,
                "elements": elements,
                "is_overdue": marking.assignment.return_at < now,
                "is_marked": marking.marked == elements,
                "minutes": predicted_minutes(own_pace, length, share_left),
            }
        )
    todo = [row for row in rows if not row["is_marked"]]
    known = [row["minutes"] for row in todo if row["minutes"] is not None]
    return {
        "waiting": sorted(rows, key=lambda row: not row["marking"].started_at),
        "overdue": sum(row["is_overdue"] for row in rows),
        "minutes": sum(known) if len(known) == len(todo) else None,
        "has_pace": own_pace is not None,
    }
