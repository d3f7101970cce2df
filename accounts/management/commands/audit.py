"""Read the audit's chain and say whether each entry is as it was written."""

from __future__ import annotations

import re
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from accounts.models import AuditEntry


class Command(BaseCommand):
    help = (
        "verify: names each entry that was altered, is missing or stands elsewhere, and "
        "ends with status 1 if there is one. Prints the head (number:digest) to be kept "
        "outside this machine; --head compares with one kept before, which also finds "
        "what was cut off the end or written anew."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("act", choices=["verify"])
        parser.add_argument(
            "--head", metavar="NUMBER:DIGEST", help="a head kept before"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        faults = [
            f"Entry {fault.number} {fault.says}."
            for fault in AuditEntry.objects.faults()
        ]
        if options["head"]:
            faults += self._against(options["head"])
        head = AuditEntry.objects.order_by("-number").first()
        self.stdout.write(f"Head {head.number}:{head.digest}" if head else "No entries")
        if faults:
            raise CommandError("\n".join(faults))
        self.stdout.write("Every entry is as it was written.")

    def _against(self, kept: str) -> list[str]:
        match = re.fullmatch(r"(\d{1,18}):([0-9a-f]{64})", kept)
        if match is None:
            raise CommandError(f"--head must be NUMBER:DIGEST, but is {kept!r}.")
        number, digest = int(match[1]), match[2]
        entry = AuditEntry.objects.filter(number=number).first()
        if entry is None:
            return [f"Entry {number}, kept as head before, is missing."]
        if entry.digest != digest:
            return [f"Entry {number} is not the one kept as head before."]
        return []
