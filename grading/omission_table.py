"""The cohort page's table: what was left out, element by element, in figures and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.cohort import Chosen, Group
from grading.disclosure import FEWEST
from grading.lineage import Line, Unlike, lines, unlike
from grading.pictures.intervals import Intervals, Rate, Scale, axis, row, scale
from grading.statistics.compare import GroupComparison, compare_groups
from grading.statistics.figure import Figure
from grading.statistics.omissions import Omissions, from_counts
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
    unlike: tuple[Unlike, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Two cohorts over the elements compared; `places` by place in A."""

    places: dict[int, int]
    found: GroupComparison


def omission_table(
    group: Group, other: Group | None, chosen: Chosen, section: str = ""
) -> Table:
    """The rows sorted by rate, highest first; elements nobody was judged on come last.

    Rates, intervals and differences are left out where a group is too small for them,
    and everything where even counts would tell of one student.
    """
    found = group.omissions(chosen)
    if group.is_hidden:
        return Table((), None, found.rule)
    beside = other.omissions(chosen) if other else None
    edition = group.assignment.edition
    against = other.assignment.edition if other else None
    shown = lines(edition, against, section)
    drawable = not group.is_small
    comparable = drawable and other is not None and not other.is_small
    compared = compare_elements(found, beside, shown) if beside and comparable else None
    rates = [_of(found, line.i, drawable) for line in shown]
    others = [_of_other(beside, line, comparable) for line in shown]
    ruler = _ruler([*rates, *(figure for figure in others if figure)])
    rows = [
        _row(found, line, rate, figure, compared, ruler if drawable else None)
        for line, rate, figure in zip(shown, rates, others, strict=True)
    ]
    rows.sort(key=lambda r: -r.omitted / r.judged if r.judged else 1.0)
    return Table(
        tuple(rows),
        axis(ruler) if drawable else None,
        found.rule,
        tuple(unlike(edition, against, section)) if against else (),
    )


def compare_elements(a: Omissions, b: Omissions, shown: Sequence[Line]) -> Comparison:
    """Compare what means the same in both; q is corrected over exactly these elements."""
    both = [
        (line.i, line.other)
        for line in shown
        if line.other is not None
        and min(a.judged[line.i], b.judged[line.other]) >= FEWEST
    ]
    return Comparison(
        {i: place for place, (i, _) in enumerate(both)},
        compare_groups(
            _taken(a, [i for i, _ in both]), _taken(b, [j for _, j in both])
        ),
    )


def _taken(found: Omissions, places: list[int]) -> Omissions:
    counts = {name: values[places] for name, values in found.counts.items()}
    return from_counts(counts, found.omitted[places], found.rule)


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


def _of(found: Omissions, i: int, drawable: bool) -> Figure:
    judged = int(found.judged[i])
    if not drawable or 0 < judged < FEWEST:
        return Figure(None, n=judged, reason=f"fewer than {FEWEST} judged")
    return found.figure(i)


def _of_other(beside: Omissions | None, line: Line, drawable: bool) -> Figure | None:
    if beside is None or line.other is None:
        return None
    return _of(beside, line.other, drawable)


def _ruler(figures: Sequence[Figure]) -> Scale:
    return scale(max((f.high for f in figures if f.high is not None), default=1.0))


def _rate(figure: Figure | None) -> Rate | None:
    if figure is None or figure.value is None:
        return None
    if figure.low is None or figure.high is None:
        return None
    return Rate(figure.value, figure.low, figure.high)
