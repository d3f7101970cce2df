from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.roles import Act
from grading.forms.hand_in import HandInForm
from grading.models import Assignment, Submission
from grading.recording import hosts_for_browser, opens_at


@signed_in
@require_http_methods(["GET", "POST"])
def hand_in(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """A student hands in one recording and gets a receipt."""
    assignment = get_object_or_404(
        Assignment.objects.visible_to(request.user).select_related(
            "cohort__course", "edition"
        ),
        pk=pk,
    )
    require(request.user, Act.HAND_IN, assignment.course)
    get_object_or_404(Assignment.objects.for_student(request.user), pk=pk)
    earlier = list(assignment.submissions.filter(student=request.user))
    now = timezone.now()
    form = HandInForm(
        request.POST or None, request.FILES or None, assignment=assignment
    )
    if request.method == "POST" and form.is_valid():
        try:
            submission = Submission.hand_in(
                assignment,
                student=request.user,
                link=form.cleaned_data["link"],
                length_seconds=form.cleaned_data["length"],
                captions=form.cleaned_data["captions"],
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            return redirect(submission)
    response = render(
        request,
        "grading/hand_in.html",
        {
            "hosts": hosts_for_browser(),
            "assignment": assignment,
            "form": form,
            "earlier": earlier,
            "attempt": len(earlier) + 1,
            "is_open": assignment.takes(now) and len(earlier) < assignment.attempts,
            "is_late": now > assignment.due_at,
        },
        status=422 if form.errors else 200,
    )
    # The student's own browser tries the link that the student writes: any https host.
    response._csp_update = {"media-src": ["https:"]}  # type: ignore[attr-defined]
    return response


@signed_in
@require_GET
def submission(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The receipt: what was handed in, when, and what comes next."""
    found = get_object_or_404(
        Submission.objects.visible_to(request.user).select_related(
            "assignment__cohort__course", "assignment__edition", "student"
        ),
        pk=pk,
    )
    require(request.user, Act.READ_FEEDBACK, found.assignment.course)
    is_own = found.student_id == request.user.pk
    return render(
        request,
        "grading/submission.html",
        {
            "submission": found,
            "assignment": found.assignment,
            "opens_at": opens_at(found.link),
            "is_own": is_own,
            "shows_name": is_own
            or not found.assignment.names_hidden
            or request.user.may(Act.SEE_COHORT, found.assignment.course),
            "release": found.releases.current().first(),
        },
    )
