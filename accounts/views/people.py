"""Who is in a course, as what; inviting them, giving and taking roles."""

from __future__ import annotations

from itertools import groupby

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.forms import InviteForm, PeopleFilterForm, RoleForm
from accounts.mail import send_invitations
from accounts.models import Course, Invitation, LastLeadError, Membership, User
from accounts.roles import Act


def _course(request: AuthenticatedHttpRequest, pk: int) -> Course:
    course = get_object_or_404(Course.objects.visible_to(request.user), pk=pk)
    require(request.user, Act.MANAGE_PEOPLE, course)
    return course


@signed_in
@require_GET
def people(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    course = _course(request, pk)
    filters = PeopleFilterForm(request.GET, course=course)
    memberships = course.memberships.for_people()
    if filters.is_valid():
        wanted = {key: value for key, value in filters.cleaned_data.items() if value}
        memberships = memberships.filter(**wanted)
    by_person = groupby(memberships, key=lambda membership: membership.user)
    return render(
        request,
        "accounts/people.html",
        {
            "course": course,
            "filters": filters,
            "people": [(user, list(held)) for user, held in by_person],
            "invitations": course.invitations.open().for_people(),
            "may_open_cohorts": request.user.may(Act.MANAGE_COURSES, course),
        },
    )


@signed_in
@require_http_methods(["GET", "POST"])
def invite(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    course = _course(request, pk)
    form = InviteForm(request.POST or None, course=course)
    if form.is_valid():
        with transaction.atomic():
            made = [
                Invitation.invite(
                    by=request.user,
                    course=course,
                    cohort=invitee.cohort,
                    role=form.cleaned_data["role"],
                    email=invitee.email,
                    name=invitee.name,
                )
                for invitee in form.cleaned_data["invitees"]
            ]
        _send(request, made)
        return redirect("accounts:people", course.pk)
    return render(request, "accounts/invite.html", {"course": course, "form": form})


@signed_in
@require_POST
def invite_again(
    request: AuthenticatedHttpRequest, pk: int, invitation_pk: int
) -> HttpResponse:
    course = _course(request, pk)
    old = get_object_or_404(course.invitations.open(), pk=invitation_pk)
    made = Invitation.invite(
        by=request.user,
        course=course,
        cohort=old.cohort,
        role=old.role,
        email=old.email,
        name=old.name,
    )
    _send(request, [made])
    return redirect("accounts:people", course.pk)


@signed_in
@require_POST
def invitation_withdraw(
    request: AuthenticatedHttpRequest, pk: int, invitation_pk: int
) -> HttpResponse:
    course = _course(request, pk)
    invitation = get_object_or_404(course.invitations.open(), pk=invitation_pk)
    invitation.withdraw(by=request.user)
    messages.success(request, f"The invitation of {invitation.email} is withdrawn.")
    return redirect("accounts:people", course.pk)


@signed_in
@require_http_methods(["GET", "POST"])
def person(request: AuthenticatedHttpRequest, pk: int, person_pk: int) -> HttpResponse:
    course = _course(request, pk)
    members = User.objects.filter(memberships__course=course).distinct()
    member = get_object_or_404(members, pk=person_pk)
    form = RoleForm(request.POST or None, course=course)
    if form.is_valid():
        given = Membership.objects.give(
            user=member, course=course, by=request.user, **form.cleaned_data
        )
        messages.success(request, f"{member} is now {given.words()}.")
        return redirect("accounts:person", course.pk, member.pk)
    held = course.memberships.for_people().filter(user=member)
    return render(
        request,
        "accounts/person.html",
        {"course": course, "member": member, "held": held, "form": form},
    )


@signed_in
@require_POST
def role_take(
    request: AuthenticatedHttpRequest, pk: int, membership_pk: int
) -> HttpResponse:
    course = _course(request, pk)
    held = get_object_or_404(course.memberships.for_people(), pk=membership_pk)
    try:
        held.take_away(by=request.user)
    except LastLeadError as refusal:
        messages.error(request, str(refusal))
        return redirect("accounts:person", course.pk, held.user_id)
    messages.success(request, f"{held.user} is no longer {held.words()}.")
    return redirect("accounts:people", course.pk)


def _send(
    request: AuthenticatedHttpRequest, made: list[tuple[Invitation, str]]
) -> None:
    failed = send_invitations(made, site=request.build_absolute_uri("/"))
    for invitation in failed:
        invitation.withdraw(by=request.user)
    if failed:
        messages.error(
            request,
            "The mail server did not take these mails, so nobody of them is invited: "
            + ", ".join(invitation.email for invitation in failed),
        )
    if sent := len(made) - len(failed):
        messages.success(
            request, f"{sent} {'person' if sent == 1 else 'people'} invited."
        )
