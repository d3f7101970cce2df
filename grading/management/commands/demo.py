"""Loads the demo: an invented school with a term's work in every state."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from accounts.models import Course, User
from grading.demo import school


class Command(BaseCommand):
    help = (
        "Load the demo school into an empty database: one course, two cohorts, five "
        "instructors, a lead and an administrator. Loading twice changes nothing; a "
        "database that holds anything else is refused. Everybody's password is public: "
        "never load it on a site with real people."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO and not settings.TESTING:
            raise CommandError(
                "Set BELLSIDE_DEMO=1 first: the demo's passwords are public, and this "
                "keeps it off a real site."
            )
        with transaction.atomic():
            if self._is_loaded():
                self.stdout.write("The demo is loaded already; nothing was changed.")
            else:
                if User.objects.exists() or Course.objects.exists():
                    raise CommandError(
                        "This database holds something else. The demo is loaded into "
                        "an empty one only; name another in BELLSIDE_DATABASE."
                    )
                school.load(timezone.now())
                self.stdout.write("The demo is loaded.")
        self._tell()

    def _is_loaded(self) -> bool:
        everybody = User.objects.filter(email__endswith="@demo.invalid")
        return everybody.filter(is_administrator=True).exists() and (
            not User.objects.exclude(pk__in=everybody).exists()
        )

    def _tell(self) -> None:
        self.stdout.write(f"Everybody's password: {school.PASSPHRASE}")
        for role, user in school.sign_ins():
            self.stdout.write(f"  {role:<14} {user.email}  ({user.name})")
