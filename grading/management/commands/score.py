"""Scores marks files against a rubric file; needs no database."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from typing import Any, Protocol

from django.core.management.base import BaseCommand

from grading.scoring import Result, as_json, read_marks, report, score
from rubric.contents import contents
from rubric.definition import Definition, read
from rubric.faults import Fault, Faults


class Stream(Protocol):
    def write(self, text: str, /) -> object: ...


class Command(BaseCommand):
    help = (
        "Score marks files against a rubric file. Prints one report a file, or with "
        "--json one object a line, and exits 0. Where a file is faulty, prints one line "
        "a fault on standard error and nothing else, and exits 2."
    )
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("rubric", metavar="RUBRIC", help="a rubric, YAML or JSON")
        parser.add_argument("marks", metavar="MARKS", nargs="+", help="marks, JSON")
        parser.add_argument("--json", action="store_true", help="one object a line")

    def handle(self, *args: Any, **options: Any) -> None:
        if run(
            options["rubric"],
            options["marks"],
            options["json"],
            self.stdout,
            self.stderr,
        ):
            sys.exit(2)


def run(
    rubric: str, marks: Sequence[str], in_json: bool, out: Stream, err: Stream
) -> int:
    """Write to `out` what every marks file comes to; or, if any file is faulty, every
    fault to `err`. Returns the exit status, 0 or 2.
    """
    try:
        results = _results(rubric, marks)
    except Faults as faults:
        err.write(f"{faults}\n")
        return 2
    for name, result in zip(marks, results, strict=True):
        text = json.dumps(as_json(result)) if in_json else report(name, result)
        out.write(f"{text}\n")
    return 0


def _results(rubric: str, marks: Sequence[str]) -> list[Result]:
    definition = read(contents(rubric), rubric)
    results: list[Result] = []
    faults: list[Fault] = []
    for name in marks:
        try:
            results.append(_result(name, definition))
        except Faults as found:
            faults += found.faults
    if faults:
        raise Faults(faults)
    return results


def _result(name: str, definition: Definition) -> Result:
    return score(definition, read_marks(contents(name), name, definition))
