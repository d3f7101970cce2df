"""Checks rubric files, or shows one as a table; needs no database."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from typing import Any, Protocol

from django.core.management.base import BaseCommand

from rubric.contents import contents
from rubric.definition import Definition, read
from rubric.definition.lint import Finding, look, part_at
from rubric.definition.listing import listing
from rubric.faults import Faults


class Stream(Protocol):
    def write(self, text: str, /) -> object: ...


class Command(BaseCommand):
    help = (
        "check: print what is worth a look in rubric files, by the key of its part, and "
        "exit 0; every fault goes to standard error with its line, and then exit 2. "
        "show: print a rubric file as a table."
    )
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        acts = parser.add_subparsers(dest="act", metavar="check|show", required=True)
        check_ = acts.add_parser("check", help="say what to mend, and what to look at")
        check_.add_argument("files", metavar="FILE", nargs="+", help="YAML or JSON")
        show_ = acts.add_parser("show", help="print the exam as a table")
        show_.add_argument("file", metavar="FILE", help="YAML or JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["act"] == "check":
            status = check(options["files"], self.stdout, self.stderr)
        else:
            status = show(options["file"], self.stdout, self.stderr)
        if status:
            sys.exit(status)


def check(names: Sequence[str], out: Stream, err: Stream) -> int:
    """Write faults to `err`, advice on files without a fault to `out`; 2 or 0."""
    status = 0
    for name in names:
        try:
            definition = read(contents(name), name)
        except Faults as faults:
            err.write(f"{faults}\n")
            status = 2
        else:
            found = look(definition)
            for finding in found:
                out.write(f"{name}: {_part(definition, finding)}{finding.words}\n")
            many = f"{len(found) or 'nothing'} worth a look"
            out.write(f"{name}: no faults, {many}\n")
    return status


def show(name: str, out: Stream, err: Stream) -> int:
    """Write the file as a table to `out`, or its faults to `err`; 0 or 2."""
    try:
        definition = read(contents(name), name)
    except Faults as faults:
        err.write(f"{faults}\n")
        return 2
    out.write(f"{listing(definition)}\n")
    return 0


def _part(definition: Definition, finding: Finding) -> str:
    part = part_at(definition, finding.place)
    return "" if part is None else f"{part.key}: "
