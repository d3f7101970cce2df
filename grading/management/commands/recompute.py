"""Scores every release anew from the marks it keeps and compares, byte by byte."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand

from grading.models import Release


class Command(BaseCommand):
    help = (
        "Recompute every release from its own marks and edition. Exits 0 where all come "
        "out the same to the byte; else names each that differs, and exits 1."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        count = 0
        differing = 0
        releases = Release.objects.select_related("document", "edition").order_by("pk")
        for release in releases.iterator(chunk_size=200):
            count += 1
            if differences := release.recomputed():
                differing += 1
                for what, words in differences.items():
                    self.stderr.write(f"release {release.pk}: {what}: {words}")
        self.stdout.write(f"{count} releases recomputed, {differing} differ")
        if differing:
            sys.exit(1)
