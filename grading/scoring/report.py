"""A result in a few lines of plain text."""

from __future__ import annotations

from collections.abc import Iterator

from grading.scoring.result import Check, Result, SectionFigure
from grading.scoring.shown import number, points_shown, time_shown
from grading.scoring.wording import in_words

QUIET = ("met", "not_applicable")
OPEN_SHOWN = 5


def report(name: str, result: Result) -> str:
    """Outcome, reasons, figures, sections, and the checks that are not simply met."""
    percent = f", {result.percent_shown}%" if result.percent_shown else ""
    mark = number(result.pass_percent)
    return "\n".join(
        [
            f"{name}: {in_words(result.outcome)}{percent} (pass mark {mark}%)",
            *(f"  {line}" for line in _reasons(result)),
            *(f"  {figure}" for figure in _figures(result)),
            *(f"  {_section(section)}" for section in result.sections),
            *(f"  {_check(c)}" for c in result.checks if c.result not in QUIET),
        ]
    )


def _reasons(result: Result) -> list[str]:
    """Every reason, but of the elements without a state only the first few."""
    lines = [r.text for r in result.reasons if r.kind != "open"]
    unmarked = [r.text for r in result.reasons if r.kind == "open"]
    more = len(unmarked) - OPEN_SHOWN
    if more > 0:
        unmarked[OPEN_SHOWN:] = [f"{more} more elements: no state yet."]
    return unmarked + lines


def _figures(result: Result) -> Iterator[str]:
    yield f"points: {points_shown(result.earned)} of {points_shown(result.possible)}"
    if result.deducted:
        yield f"taken off: {number(result.deducted)} percentage points"
    if result.cap is not None:
        yield f"at most: {number(result.cap)}%"
    if result.unseen_points:
        yield f"points not seen: {points_shown(result.unseen_points)}"
    if result.excused_points:
        yield f"points excused: {points_shown(result.excused_points)}"
    if result.range is not None and result.range.differ:
        worst, best = (
            f"{case.percent_shown}% {in_words(case.outcome)}"
            for case in (result.range.worst, result.range.best)
        )
        yield f"range: {worst} to {best}"


def _section(section: SectionFigure) -> str:
    points = f"{points_shown(section.earned)} of {points_shown(section.possible)}"
    percent = f", {section.percent_shown}%" if section.percent_shown else ""
    return f"section {section.key}: {points}{percent}"


def _check(check: Check) -> str:
    at = "" if check.at is None else f" at {time_shown(check.at)}"
    amount = f" {number(check.effect.amount)}" if check.effect.amount else ""
    return (
        f"check {check.key}: {in_words(check.result)}{at} ({check.effect.kind}{amount})"
    )
