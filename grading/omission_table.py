"""The cohort page's table: what was left out, element by element, in figures and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.cohort import Chosen, Comparison, Group, Line, comparison, lines
from grading.pictures.intervals import Intervals, Rate, Scale, axis, row, scale
from grading.statistics.figure import Figure
from grading.statistics.omissions import Omissions
from rubric.definition import Element, Section

# In the order of the remedies: teach it, have it done rather than said, polish it.
WORDS = (
    ("missed", "missed"),
    ("said", "said only"),
    ("partly", "partly"),
    ("unseen", "not seen"),
)


@dataclass(frozen=True)
class TableRow:
    """One element. Without `rate`, only counts may be shown (a small group)."""

    element: Element
    section: Section
    omitted: int
    judged: int
    counts: tuple[tuple[str, int], ...]
    rate: Figure
    other: Figure | None
    difference: Figure | None
    q: float | None
    picture: Intervals | None

    @property
    def words(self) -> str:
        """How it was left out, and what is near to it: "14 missed, 5 said only"."""
        return ", ".join(f"{n} {word}" for word, n in self.counts if n)

    @property
    def change_points(self) -> str:
        """The difference in percentage points with its sign, or why there is none."""
        return signed_points(self.difference.value) if self.difference else ""


@dataclass(frozen=True)
class Table:
    rows: tuple[TableRow, ...]
    axis: Intervals | None
    rule: str


def omission_table(
    group: Group, other: Group | None, chosen: Chosen, section: str = ""
) -> Table:
    """The rows sorted by rate, highest first; elements nobody was judged on come last.

    Rates, intervals and differences are left out where a group is too small for them.
    """
    found = group.omissions(chosen)
    beside = other.omissions(chosen) if other else None
    shown = lines(group.definition, other.definition if other else None, section)
    compared = (
        comparison(found, beside, shown)
        if beside and other and not (group.is_small or other.is_small)
        else None
    )
    drawable = not group.is_small
    rates = [_of(found, line, drawable) for line in shown]
    others = [
        _of_other(beside, line, bool(other and not other.is_small)) for line in shown
    ]
    ruler = _ruler([*rates, *(figure for figure in others if figure)])
    rows = [
        _row(found, line, rate, figure, compared, ruler if drawable else None)
        for line, rate, figure in zip(shown, rates, others, strict=True)
    ]
    rows.sort(key=lambda r: -r.omitted / r.judged if r.judged else 1.0)
    return Table(tuple(rows), axis(ruler) if drawable else None, found.rule)


def finding(table: Table, group: Group, other: Group | None, chosen: Chosen) -> str:
    """The page's first sentence: what stands out, as a person would say it."""
    students = len({row.student for row in group.rows})
    words = f"{students} student{'s' * (students != 1)}, {chosen.attempt} attempts. "
    if chosen.attempt == "all":
        words = f"{students} student{'s' * (students != 1)}, all attempts. "
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
        points = round(abs(first.difference.value) * 100)
        way = "up" if first.difference.value > 0 else "down"
        words += (
            f", {way} {points} point{'s' * (points != 1)} on {other.assignment.cohort}"
            if points
            else f", as in {other.assignment.cohort}"
        )
    keys = [r.section.key for r in worst]
    most = max(keys, key=keys.count)
    together = keys.count(most)
    if together > 1:
        title = next(r.section.title for r in worst if r.section.key == most)
        words += f"; {together} of the {len(worst)} largest gaps are in “{title}”"
    return words + "."


def signed_points(share: float | None) -> str:
    """A difference of shares as whole percentage points with its sign.

    >>> signed_points(0.214), signed_points(-0.28), signed_points(0.001)
    ('+21', '−28', '0')
    """
    if share is None:
        return ""
    points = round(share * 100)
    return f"{points:+d}".replace("-", "−") if points else "0"


def _row(
    found: Omissions,
    line: Line,
    rate: Figure,
    other: Figure | None,
    compared: Comparison | None,
    ruler: Scale | None,
) -> TableRow:
    place = compared.places.get(line.i) if compared else None
    difference = q = None
    if compared and place is not None:
        difference = compared.found.figure(place)
        if difference.value is not None:
            q = float(compared.found.q[place])
    return TableRow(
        element=line.element,
        section=line.section,
        omitted=int(found.omitted[line.i]),
        judged=int(found.judged[line.i]),
        counts=tuple((word, int(found.counts[name][line.i])) for name, word in WORDS),
        rate=rate,
        other=other,
        difference=difference,
        q=q,
        picture=row(ruler, line.element.text, _rate(rate), _rate(other))
        if ruler
        else None,
    )


def _of(found: Omissions, line: Line, drawable: bool) -> Figure:
    if not drawable:
        return Figure(None, reason="too few recordings for a rate")
    return found.figure(line.i)


def _of_other(beside: Omissions | None, line: Line, drawable: bool) -> Figure | None:
    if beside is None or line.other is None:
        return None
    if not drawable:
        return Figure(None, reason="too few recordings for a rate")
    return beside.figure(line.other)


def _ruler(figures: Sequence[Figure]) -> Scale:
    return scale(max((f.high for f in figures if f.high is not None), default=1.0))


def _rate(figure: Figure | None) -> Rate | None:
    if figure is None or figure.value is None:
        return None
    if figure.low is None or figure.high is None:
        return None
    return Rate(figure.value, figure.low, figure.high)
