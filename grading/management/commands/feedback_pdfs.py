from __future__ import annotations

import os
from argparse import ArgumentParser, ArgumentTypeError
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from accounts.models import AuditEntry
from grading.exports.feedback_batch import batch_of, putting_into
from grading.exports.feedback_pdf import PAPERS
from grading.models import Assignment


class Command(BaseCommand):
    help = "Writes every current feedback of an assignment as PDFs."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("assignment", type=int, help="the number in its address")
        parser.add_argument(
            "target", type=Path, help="a folder, or a file that ends in .zip"
        )
        parser.add_argument("--paper", choices=PAPERS, default="a4")
        parser.add_argument(
            "--processes",
            type=_at_least_one,
            default=os.cpu_count() or 1,
            help="default: as many as the machine has cores",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        assignment = (
            Assignment.objects.select_related("cohort__course")
            .filter(pk=options["assignment"])
            .first()
        )
        if assignment is None:
            raise CommandError(f"there is no assignment {options['assignment']}")
        count = 0
        try:
            with putting_into(options["target"]) as put:
                for name, pdf in batch_of(
                    assignment,
                    processes=options["processes"],
                    paper=options["paper"],
                ):
                    put(name, pdf)
                    count += 1
        except OSError as error:
            raise CommandError(f"cannot write {options['target']}: {error}") from error
        AuditEntry.objects.append(
            actor=None,
            verb=AuditEntry.Verb.EXPORTED,
            about=f"assignment {assignment.pk}",
            course=assignment.course,
            kind="pdf",
            releases=count,
        )
        self.stdout.write(f"{count} reports in {options['target']}")


def _at_least_one(text: str) -> int:
    if not text.isdigit() or int(text) < 1:
        raise ArgumentTypeError(f"must be 1 or more, but is {text!r}")
    return int(text)
