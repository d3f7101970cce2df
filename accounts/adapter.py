"""How sign-in behaves here: nobody registers alone, and each sign-in is kept."""

from __future__ import annotations

from allauth.account.adapter import DefaultAccountAdapter
from django.db import transaction
from django.http import HttpRequest

from accounts.models import AuditEntry, User


class AccountAdapter(DefaultAccountAdapter):
    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def login(self, request: HttpRequest, user: User) -> None:  # type: ignore[override]
        with transaction.atomic():
            super().login(request, user)
            AuditEntry.objects.append(
                actor=user, verb=AuditEntry.Verb.SIGNED_IN, about=f"person {user.pk}"
            )

    def set_password(self, user: User, password: str) -> None:  # type: ignore[override]
        with transaction.atomic():
            user.set_password(password)
            user.save(update_fields=["password"])
            AuditEntry.objects.append(
                actor=user, verb=AuditEntry.Verb.SET_PASSWORD, about=f"person {user.pk}"
            )
