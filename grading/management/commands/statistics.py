"""Statistics of a person's own table; needs no database."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, ArgumentTypeError, RawDescriptionHelpFormatter
from collections.abc import Callable, Sequence
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.core.management.base import BaseCommand, CommandError

from rubric.faults import Fault, Faults, one_of

if TYPE_CHECKING:
    from grading.statistics.reports.report import Report

MARKS = """Columns: cohort, student, attempt (1, 2, ...), marker, element, state
(done, partly, said, missed, unseen, excused, level), and if you have it credit (0 to 1;
a mark that earns 0 is then an omission; level needs it)."""
RATINGS = "Columns: subject, rater, rating."
WHAT = {
    "omissions": (
        "what was left out, with 95% limits",
        MARKS,
    ),
    "compare": (
        "two cohorts, two attempts or two markers",
        f"{MARKS}\nGive --groups A B, --paired attempt 1 2, or --paired marker X Y.",
    ),
    "agreement": (
        "how far raters agree",
        f"{RATINGS} A rating is a word or a number.",
    ),
    "severity": (
        "which rater gives higher ratings",
        f"{RATINGS} A rating is a number.",
    ),
    "items": (
        "difficulty, discrimination and reliability",
        "Columns: student, element, credit (0 to 1; empty: not seen), and if you have it "
        "points.",
    ),
    "passmark": (
        "a pass mark by one of six methods",
        """Columns by method:
  angoff                 judge, element, probability (0 to 1), optional points
  ebel                   element, relevance, difficulty, expected (0 to 1), optional points
  hofstee                judge, min_pass, max_pass, min_fail, max_fail (0 to 100); --scores
  borderline-group       student, percent, rating (words); --borderline WORD
  contrasting-groups     student, percent, group (competent or not)
  borderline-regression  student, percent, rating (numbers); --borderline NUMBER""",
    ),
    "chart": (
        "groups against the rate of all: p-chart and funnel",
        "Columns: group, n, count.",
    ),
}
METHODS = (
    "angoff",
    "ebel",
    "hofstee",
    "borderline-group",
    "contrasting-groups",
    "borderline-regression",
)
STATES = ("done", "partly", "said", "missed")
GROUPS = ("element", "cohort", "marker", "attempt")


class Command(BaseCommand):
    help = (
        "Statistics of a CSV file (RFC 4180, UTF-8, with a header). Prints a table, or "
        "with --json one object, and exits 0. Where the file is faulty, prints one line a "
        "fault on standard error and nothing else, and exits 2."
    )
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        kinds = parser.add_subparsers(dest="what", metavar="WHAT", required=True)
        made = {}
        for what, (summary, columns) in WHAT.items():
            made[what] = kinds.add_parser(
                what,
                help=summary.replace("%", "%%"),
                description=f"{summary[0].upper()}{summary[1:]}.\n\n{columns}",
                formatter_class=RawDescriptionHelpFormatter,
            )
            made[what].add_argument("file", metavar="FILE.csv", help="the table")
            made[what].add_argument("--json", action="store_true", help="one object")
        for what in ("omissions", "compare"):
            made[what].add_argument(
                "--attempt",
                choices=("first", "last", "all"),
                help="of each student the first attempt (default), the last, or all",
            )
            made[what].add_argument(
                "--count",
                type=_listed(STATES),
                metavar="STATES",
                help="count these states as omitted, for instance missed,said",
            )
        made["omissions"].add_argument(
            "--by",
            type=_listed(GROUPS),
            default=("element",),
            metavar="COLUMNS",
            help=f"a row for each of these, by commas: {', '.join(GROUPS)}",
        )
        which = made["compare"].add_mutually_exclusive_group(required=True)
        which.add_argument("--groups", nargs=2, metavar=("A", "B"), help="two cohorts")
        which.add_argument(
            "--paired",
            nargs=3,
            metavar=("attempt|marker", "X", "Y"),
            help="the same students on two attempts or under two markers",
        )
        made["agreement"].add_argument(
            "--order",
            type=_listed(),
            metavar="RATINGS",
            help="the ratings from lowest to highest, by commas",
        )
        made["items"].add_argument(
            "--complete",
            action="store_true",
            help="use only the sheets on which every element was seen",
        )
        made["passmark"].add_argument("--method", choices=METHODS, required=True)
        made["passmark"].add_argument(
            "--scores", metavar="SCORES.csv", help="columns student, percent"
        )
        made["passmark"].add_argument(
            "--borderline", metavar="RATING", help="the borderline rating"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            report = _report(options)
        except Faults as faults:
            self.stderr.write(f"{faults}\n")
            sys.exit(2)
        self.stdout.write(report.as_json() if options["json"] else report.as_text())


def _report(options: dict[str, Any]) -> Report:
    # imported here: each family needs other libraries, and help needs none
    file, what = options["file"], options["what"]
    if what == "passmark":
        return _pass_mark(options)
    data = _read(file)
    if what in ("omissions", "compare"):
        return _of_marks(options, data)
    if what in ("agreement", "severity"):
        from grading.statistics.reports import ratings

        if what == "severity":
            return ratings.severity_report(file, data)
        return ratings.agreement_report(file, data, options["order"])
    if what == "items":
        from grading.statistics.reports.elements import items_report

        return items_report(file, data, options["complete"])
    from grading.statistics.reports.groups import chart_report

    return chart_report(file, data)


def _of_marks(options: dict[str, Any], data: bytes) -> Report:
    from grading.statistics.reports import comparisons, marks

    table = marks.read_marks(options["file"], data)
    attempt, count = options["attempt"], options["count"]
    if options["what"] == "omissions":
        return marks.omissions_report(table, options["by"], attempt or "first", count)
    if options["groups"]:
        return comparisons.groups_report(
            table, tuple(options["groups"]), attempt or "first", count
        )
    side, first, second = options["paired"]
    if side not in comparisons.SIDES:
        raise CommandError(
            f"--paired takes {one_of(comparisons.SIDES, side)}, then two of them; "
            f"but got {side}",
            returncode=2,
        )
    if side == "attempt" and attempt:
        raise CommandError(
            "--attempt does not go with --paired attempt, which names both",
            returncode=2,
        )
    return comparisons.paired_report(
        table, side, (first, second), attempt or "first", count
    )


def _pass_mark(options: dict[str, Any]) -> Report:
    from grading.statistics.reports import pass_marks

    method, borderline = options["method"], options["borderline"]
    _check_options(method, options["scores"], borderline)
    data = _read(options["file"])
    scores = None
    if options["scores"]:
        scores = pass_marks.read_scores(options["scores"], _read(options["scores"]))
    if method == "borderline-regression":
        return pass_marks.borderline_regression_report(
            options["file"], data, _number(borderline)
        )
    if method == "borderline-group":
        return pass_marks.borderline_group_report(options["file"], data, borderline)
    if method == "contrasting-groups":
        return pass_marks.contrasting_groups_report(options["file"], data)
    if method == "ebel":
        return pass_marks.ebel_report(options["file"], data, scores)
    if method == "hofstee" and scores is not None:
        return pass_marks.hofstee_report(options["file"], data, scores)
    return pass_marks.angoff_report(options["file"], data, scores)


def _check_options(method: str, scores: str | None, borderline: str | None) -> None:
    """Each method takes its own options and no other."""
    rated = method.startswith("borderline")
    judged = method in ("angoff", "ebel", "hofstee")
    for wrong, message in (
        (method == "hofstee" and not scores, f"{method} needs --scores SCORES.csv"),
        (rated and not borderline, f"{method} needs --borderline RATING"),
        (
            scores and not judged,
            f"{method} reads its percents from FILE.csv: no --scores",
        ),
        (borderline and not rated, f"{method} takes no --borderline"),
    ):
        if wrong:
            raise CommandError(message, returncode=2)


def _read(file: str) -> bytes:
    try:
        return Path(file).read_bytes()
    except OSError as error:
        what = f"cannot be read: {error.strerror}"
        raise Faults([Fault(file, None, what, "a CSV file")]) from None


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise CommandError(
            f"--borderline of borderline-regression is a number, but got {text}",
            returncode=2,
        )
    return value


def _listed(allowed: Sequence[str] = ()) -> Callable[[str], tuple[str, ...]]:
    """Different words by commas; only these, where some are named."""

    def read(text: str) -> tuple[str, ...]:
        words = tuple(word.strip() for word in text.split(","))
        for word in words:
            if not word or (allowed and word not in allowed):
                names = one_of(allowed, word) if allowed else "words by commas"
                raise ArgumentTypeError(f"{word or 'nothing'!r}; allowed: {names}")
        if len(set(words)) < len(words):
            raise ArgumentTypeError("a word stands twice; allowed: each once")
        return words

    return read
