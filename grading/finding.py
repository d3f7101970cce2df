"""The first sentence of each cohort page: what stands out, as a person would say it."""

from __future__ import annotations

from grading.attempts_table import AttemptsTable
from grading.chart_table import ChartTable
from grading.cohort import Chosen, Group
from grading.disclosure import FEWEST
from grading.omission_table import Table, TableRow


def omissions_finding(
    table: Table, group: Group, other: Group | None, chosen: Chosen
) -> str:
    """What the cohort left out most, how that compares, and where the gaps lie."""
    words = f"{_students(group.students)}, {chosen.attempt} attempts. "
    if chosen.attempt == "all":
        words = f"{_students(group.students)}, all attempts. "
    if group.is_hidden:
        return words + "So few that one of them could be worked out: nothing is shown."
    worst = [r for r in table.rows if r.judged and r.omitted][:3]
    if not worst:
        return words + "Nothing was left out."
    first = worst[0]
    if first.rate.value is None:
        return words + (
            f"“{first.element.text}” was left out by {first.omitted} of "
            f"{first.judged}. So few recordings carry no rates."
        )
    words += f"“{first.element.text}” was left out by {first.rate.value:.0%}"
    if other and first.difference and first.difference.value is not None:
        words += _against(first, str(other.assignment.cohort))
    keys = [r.section.key for r in worst]
    most = max(keys, key=keys.count)
    together = keys.count(most)
    if together > 1:
        title = next(r.section.title for r in worst if r.section.key == most)
        words += f"; {together} of the {len(worst)} largest gaps are in “{title}”"
    return words + "."


def attempts_finding(table: AttemptsTable) -> str:
    """What changed from the first attempt to the second, for those who have both."""
    words = f"{_students(table.students)} with both attempts. "
    if not table.students:
        return "Nobody has a released first and second attempt yet."
    if table.is_hidden:
        return words + "So few that one of them could be worked out: nothing is shown."
    if table.is_small:
        return words + f"Under {FEWEST}, so counts only."
    changed = [r for r in table.rows if r.q is not None and r.q <= 0.05]
    fewer = [r for r in changed if (r.difference.value or 0) > 0]
    more = [r for r in changed if (r.difference.value or 0) < 0]
    if not changed:
        gained = sum(r.only_first for r in table.rows)
        lost = sum(r.only_second for r in table.rows)
        return words + (
            f"{gained} mark{'s' * (gained != 1)} left out the first time and not the "
            f"second, {lost} the other way round; no single element changed by more than "
            "chance explains."
        )
    parts = []
    if fewer:
        best = max(fewer, key=lambda r: r.difference.value or 0)
        parts.append(
            f"{_elements(len(fewer))} left out less often the second time, "
            f"“{best.element.text}” most: by {best.first} of {best.pairs}, then by "
            f"{best.second}"
        )
    if more:
        worst = min(more, key=lambda r: r.difference.value or 0)
        parts.append(
            f"{_elements(len(more))} left out more often, “{worst.element.text}” most: "
            f"by {worst.first} of {worst.pairs}, then by {worst.second}"
        )
    return words + "; ".join(parts) + "."


def chart_finding(table: ChartTable) -> str:
    """Whether any cohort or marker stands out for one element."""
    center = table.cohorts.center or table.markers.center
    words = f"“{table.element.text}”"
    if center is None:
        return words + " has no group of ten recordings or more, so there is no chart."
    words += f" was left out by {center:.0%} over all that are drawn. "
    names = table.cohorts.outside + table.markers.outside
    if not names:
        return words + (
            "No cohort and no marker lies outside the limits: the differences between "
            "them are what chance would give."
        )
    listed = ", ".join(names[:-1]) + (" and " if names[1:] else "") + names[-1]
    return words + f"{listed} lie{'s' * (not names[1:])} outside the limits."


def _against(row: TableRow, cohort: str) -> str:
    figure = row.difference
    if not figure or figure.value is None or figure.low is None or figure.high is None:
        return ""
    points = round(abs(figure.value) * 100)
    if not points:
        return f", as in {cohort}"
    way = "up" if figure.value > 0 else "down"
    words = f", {way} {points} point{'s' * (points != 1)} on {cohort}"
    if figure.low <= 0 <= figure.high:
        words += ", which may be chance"
    return words


def _students(n: int) -> str:
    return f"{n} student{'s' * (n != 1)}"


def _elements(n: int) -> str:
    return f"{n} element{'s were' if n != 1 else ' was'}"
