"""Mails that Bellside writes itself; those about passwords are allauth's."""

from __future__ import annotations

import smtplib
from collections.abc import Sequence

from django.core.mail import EmailMessage, get_connection
from django.template.loader import render_to_string
from django.urls import reverse

from accounts.models import Invitation


def send_invitations(
    made: Sequence[tuple[Invitation, str]], *, site: str
) -> list[Invitation]:
    """Send each invitation its token; returns those whose mail was not taken.

    `site` is the site's address, as in https://bellside.school.example. Call it after
    the transaction: a slow mail server must not hold the store.
    """
    failed = []
    connection = get_connection()
    for invitation, token in made:
        try:
            _message(invitation, token, site, connection).send()
        except (smtplib.SMTPException, OSError):
            failed.append(invitation)
    connection.close()
    return failed


def _message(
    invitation: Invitation, token: str, site: str, connection: object
) -> EmailMessage:
    address = site.rstrip("/") + reverse("accounts:join", args=[token])
    words = {"invitation": invitation, "address": address}
    return EmailMessage(
        subject=f"Bellside: your invitation to {invitation.course}",
        body=render_to_string("accounts/mail/invitation.txt", words),
        to=[invitation.email],
        connection=connection,
    )
