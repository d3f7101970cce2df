from __future__ import annotations

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import Cohort, Course
from accounts.roles import Act
from grading.forms.assignment import AssignmentForm
from grading.models import Assignment, Marking, Release, Submission
from grading.standing import standing


@signed_in
@require_GET
def assignments(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """A course's assignments, cohort by cohort, and how far each is."""
    course = get_object_or_404(Course.objects.visible_to(request.user), pk=pk)
    require(request.user, Act.MANAGE_ASSIGNMENTS, course)
    found = Assignment.objects.led_by(request.user).filter(cohort__course=course)
    return render(
        request,
        "grading/assignments.html",
        {
            "course": course,
            "cohorts": course.cohorts.all(),
            "standing": standing(found),
        },
    )


@signed_in
@require_http_methods(["GET", "POST"])
def assignment_new(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Set an edition for a cohort."""
    cohort = get_object_or_404(
        Cohort.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.MANAGE_ASSIGNMENTS, cohort.course)
    form = AssignmentForm(request.POST or None, cohort=cohort)
    if request.method == "POST" and form.is_valid():
        assignment = Assignment.set_for(cohort, by=request.user, **form.cleaned_data)
        messages.success(request, f"{assignment.title} is set for {cohort}.")
        return redirect(assignment)
    return render(
        request,
        "grading/assignment_new.html",
        {"cohort": cohort, "form": form},
        status=422 if form.errors else 200,
    )


@signed_in
@require_GET
def assignment(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """One assignment: its policy, and each recording that the person may see."""
    found = get_object_or_404(
        Assignment.objects.visible_to(request.user).select_related(
            "cohort__course", "edition"
        ),
        pk=pk,
    )
    require(request.user, Act.MARK, found.course)
    is_lead = request.user.may(Act.SEE_COHORT, found.course)
    submissions = (
        Submission.objects.visible_to(request.user)
        .filter(assignment=found)
        .select_related("student")
        .defer("captions")
        .prefetch_related(
            Prefetch(
                "markings",
                Marking.objects.select_related("marker").defer("targets", "played"),
            ),
            Prefetch("releases", Release.objects.current(), to_attr="current_releases"),
        )
    )
    for submission in submissions:
        submission.assignment = found
    return render(
        request,
        "grading/assignment.html",
        {
            "assignment": found,
            "elements": len(found.edition.definition.elements),
            "submissions": submissions,
            "is_lead": is_lead,
            "shows_names": is_lead or not found.names_hidden,
            "now": timezone.now(),
        },
    )
