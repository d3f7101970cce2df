from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from accounts.models import AuditEntry
from grading.exports.marks import HEAD, marks_rows
from grading.exports.tables import csv_stream
from grading.models import Assignment


class Command(BaseCommand):
    help = (
        "Writes every mark of the current releases as CSV, one a row, in the columns that "
        "`statistics` reads. Students and markers are numbers, not names. Memory does not "
        "grow with the marks."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("target", help="a file, or - for standard output")
        which = parser.add_mutually_exclusive_group(required=True)
        which.add_argument(
            "--rubric", type=int, help="all assignments of a rubric, by its number"
        )
        which.add_argument(
            "--assignment",
            type=int,
            nargs="+",
            help="the numbers in the addresses of assignments of one rubric",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        assignments = _assignments(options["rubric"], options["assignment"])
        if options["target"] == "-":
            _write(partial(self.stdout.write, ending=""), assignments)
        else:
            try:
                with Path(options["target"]).open(
                    "w", encoding="utf-8", newline=""
                ) as file:
                    _write(file.write, assignments)
            except OSError as error:
                raise CommandError(
                    f"cannot write {options['target']}: {error.strerror}"
                ) from error
        for assignment in assignments:
            AuditEntry.objects.append(
                actor=None,
                verb=AuditEntry.Verb.EXPORTED,
                about=f"assignment {assignment.pk}",
                course=assignment.course,
                what="marks",
            )


def _assignments(rubric: int | None, numbers: list[int] | None) -> list[Assignment]:
    every = Assignment.objects.select_related("cohort__course", "edition").order_by(
        "pk"
    )
    if numbers is None:
        found = list(every.filter(edition__rubric=rubric))
        if not found:
            raise CommandError(f"there is no assignment of a rubric {rubric}")
        return found
    found = list(every.filter(pk__in=numbers))
    for missing in sorted(set(numbers) - {assignment.pk for assignment in found}):
        raise CommandError(f"there is no assignment {missing}")
    if len({assignment.edition.rubric_id for assignment in found}) > 1:
        raise CommandError(
            "these assignments are of different rubrics, whose elements have nothing to "
            "do with each other: write a file for each"
        )
    return found


def _write(write: Callable[[str], object], assignments: list[Assignment]) -> None:
    for piece in csv_stream(HEAD, marks_rows(assignments)):
        write(piece)
