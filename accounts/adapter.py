"""How sign-in behaves here: nobody registers alone, and each sign-in is kept."""

from __future__ import annotations

import unicodedata

from allauth.account.adapter import DefaultAccountAdapter
from django.db import transaction
from django.http import HttpRequest

from accounts.models import AuditEntry, User


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]
    error_messages = {  # noqa: RUF012
        **DefaultAccountAdapter.error_messages,
        "email_password_mismatch": "This e-mail and password do not belong together.",
        "too_many_login_attempts": "Too many tries with this e-mail. Wait five "
        "minutes, then try again, or ask for a new password by mail.",
        "enter_current_password": "This is not your password until now.",
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def login(self, request: HttpRequest, user: User) -> None:
        with transaction.atomic():
            super().login(request, user)
            AuditEntry.objects.append(
                actor=user, verb=AuditEntry.Verb.SIGNED_IN, about=f"person {user.pk}"
            )

    def set_password(self, user: User, password: str) -> None:
        with transaction.atomic():
            user.set_password(password)
            user.save(update_fields=["password"])
            AuditEntry.objects.append(
                actor=user, verb=AuditEntry.Verb.SET_PASSWORD, about=f"person {user.pk}"
            )

    def clean_password(self, password: str, user: User | None = None) -> str:
        """Checked as it will be kept, so that its length is counted once."""
        composed = unicodedata.normalize("NFC", password)
        return str(super().clean_password(composed, user))
