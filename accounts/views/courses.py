"""The courses a person may look after, and opening new ones."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from accounts.access import (
    AuthenticatedHttpRequest,
    require,
    require_administrator,
    require_somewhere,
    signed_in,
)
from accounts.forms import CohortForm, CourseForm
from accounts.models import Cohort, Course
from accounts.roles import Act


@signed_in
@require_http_methods(["GET", "POST"])
def courses(request: AuthenticatedHttpRequest) -> HttpResponse:
    require_somewhere(request.user, Act.MANAGE_PEOPLE)
    form = CourseForm(request.POST or None)
    if request.method == "POST":
        require_administrator(request.user)
        if form.is_valid():
            course = Course.objects.open(
                title=form.cleaned_data["title"], by=request.user
            )
            messages.success(request, f"{course} is open. Invite its lead next.")
            return redirect("accounts:people", course.pk)
    listed = Course.objects.where_may(request.user, Act.MANAGE_PEOPLE).for_list()
    return render(request, "accounts/courses.html", {"courses": listed, "form": form})


@signed_in
@require_http_methods(["GET", "POST"])
def cohort_open(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    course = get_object_or_404(Course.objects.visible_to(request.user), pk=pk)
    require(request.user, Act.MANAGE_COURSES, course)
    form = CohortForm(request.POST or None, instance=Cohort(course=course))
    if form.is_valid():
        cohort = course.open_cohort(by=request.user, **form.cleaned_data)
        messages.success(request, f"{cohort} is open.")
        return redirect("accounts:people", course.pk)
    return render(
        request, "accounts/cohort_open.html", {"course": course, "form": form}
    )
