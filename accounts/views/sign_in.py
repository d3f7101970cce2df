"""The way in for somebody who was invited."""

from __future__ import annotations

from allauth.account.adapter import get_adapter
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from accounts.forms import JoinForm
from accounts.models import Invitation, InvitationClosedError, User


@require_http_methods(["GET", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """An open invitation makes a sign-in, or adds a role to the one it was sent to."""
    invitation = Invitation.objects.by_token(token)
    if invitation is None:
        return render(request, "accounts/join_unknown.html", status=404)
    if not invitation.is_open:
        return _too_late(request, invitation)
    try:
        if isinstance(request.user, User):
            return _join_signed_in(request, request.user, invitation)
        if User.objects.filter(email=invitation.email).exists():
            return render(
                request, "accounts/join_sign_in.html", {"invitation": invitation}
            )
        return _join_as_new(request, invitation)
    except InvitationClosedError:
        return _too_late(request, invitation)


def _join_signed_in(
    request: HttpRequest, user: User, invitation: Invitation
) -> HttpResponse:
    if user.email != invitation.email:
        return render(
            request, "accounts/join_other.html", {"invitation": invitation}, status=403
        )
    if request.method == "POST":
        invitation.join(user)
        messages.success(request, f"You have joined {invitation.course}.")
        return redirect("/")
    return render(request, "accounts/join_add.html", {"invitation": invitation})


def _join_as_new(request: HttpRequest, invitation: Invitation) -> HttpResponse:
    form = JoinForm(request.POST or None, invitation=invitation)
    if form.is_valid():
        user = invitation.join_as_new(**form.cleaned_data)
        get_adapter().login(request, user)
        messages.success(request, f"Welcome to {invitation.course}.")
        return redirect("/")
    return render(
        request, "accounts/join.html", {"invitation": invitation, "form": form}
    )


def _too_late(request: HttpRequest, invitation: Invitation) -> HttpResponse:
    return render(
        request, "accounts/join_too_late.html", {"invitation": invitation}, status=410
    )
