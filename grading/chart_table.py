"""One element over cohorts and over markers: who lies outside what chance explains."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isnan

from grading.cohort import (
    ATTEMPTS,
    Chosen,
    Group,
    Row,
    credits_of,
    of_attempt,
    selections_of,
)
from grading.disclosure import FEWEST, Level, levels
from grading.lineage import places_of
from grading.pictures import control
from grading.pictures.control import Control
from grading.pictures.funnel import Funnel, Limits, funnel, sizes
from grading.pictures.intervals import Intervals, Scale, axis, scale
from grading.statistics.chart import Chart, chart, limits_at
from grading.statistics.figure import Figure
from grading.statistics.omissions import METHOD, left_out
from grading.statistics.proportions import wilson
from grading.statistics.states import to_array
from rubric.definition import Element


@dataclass(frozen=True)
class ChartRow:
    """One cohort or marker. `number` is that of its dot; None: too few to be drawn.

    `omitted` is None where even counts would tell of one student.
    """

    name: str
    number: int | None
    judged: int
    omitted: int | None
    rate: Figure
    limits: Mapping[str, float]
    outside: str
    picture: Control | None


@dataclass(frozen=True)
class Charted:
    rows: tuple[ChartRow, ...]
    center: float | None
    axis: Intervals | None
    funnel: Funnel | None

    @property
    def outside(self) -> list[str]:
        return [row.name for row in self.rows if row.outside]


@dataclass(frozen=True)
class ChartTable:
    element: Element
    cohorts: Charted
    markers: Charted
    apart: tuple[str, ...]
    again: int


@dataclass(frozen=True)
class _Tally:
    name: str
    judged: int
    omitted: int
    level: Level


def chart_table(
    groups: Sequence[Group], token: str, names: Mapping[int, str], chosen: Chosen
) -> ChartTable:
    """Chart the element that `token` means over the groups whose edition asks for it.

    `names` are the markers' by primary key. Markers are pooled over all these groups,
    whatever marker was chosen. A group is drawn where ten of its recordings or more were
    judged and its rates may be shown. `apart` names the groups whose edition does not
    have the element; `again` counts the students with several recordings.
    """
    has = [g for g in groups if token in places_of(g.assignment.edition) and g.rows]
    place = {g.assignment.pk: places_of(g.assignment.edition)[token] for g in has}
    seen = [_omitted(group, place[group.assignment.pk], chosen) for group in has]
    pooled = _pooled_levels(has, chosen)
    markers: dict[int, list[float]] = {}
    for group, values in zip(has, seen, strict=True):
        for row, value in zip(group.rows, values, strict=True):
            markers.setdefault(row.marker, []).append(value)
    students = [row.student for group in has for row in group.rows]
    elements = has[0].definition.elements if has else ()
    return ChartTable(
        element=elements[place[has[0].assignment.pk]],
        cohorts=_charted(
            [
                _tally(str(group.assignment), values, group.level)
                for group, values in zip(has, seen, strict=True)
            ]
        ),
        markers=_charted(
            [
                _tally(names[marker], values, pooled[marker])
                for marker, values in markers.items()
            ]
        ),
        apart=tuple(
            f"{group.assignment} (edition {group.assignment.edition.number})"
            for group in groups
            if group.rows and token not in places_of(group.assignment.edition)
        ),
        again=len(students) - len(set(students)),
    )


def _omitted(group: Group, place: int, chosen: Chosen) -> list[float]:
    """1 left out, 0 not, NaN not judged; an entry a release of the group."""
    column = to_array([row.states[place : place + 1] for row in group.rows], 1)
    credits_ = credits_of(group.definition)[place : place + 1]
    found: list[float] = left_out(column, credits_, chosen.count or None)[:, 0].tolist()
    return found


def _tally(name: str, values: Sequence[float], level: Level) -> _Tally:
    judged = [value for value in values if not isnan(value)]
    return _Tally(name, len(judged), int(sum(judged)), level)


def _pooled_levels(groups: Sequence[Group], chosen: Chosen) -> dict[int, Level]:
    """What may be shown of each marker, beside all that other pages show."""
    selections: dict[tuple[object, ...], list[int]] = {}
    pooled: dict[tuple[object, ...], list[Row]] = {}
    for group in groups:
        for key, rows in selections_of(group.everyone).items():
            own = (group.assignment.pk, *key)
            selections[own] = [row.release for row in rows]
        for attempt in ATTEMPTS:
            for row in of_attempt(group.everyone, attempt):
                pooled.setdefault(("pooled", attempt, row.marker), []).append(row)
    selections |= {key: [row.release for row in rows] for key, rows in pooled.items()}
    student_of = {row.release: row.student for g in groups for row in g.everyone}
    parts = [[key for key in pooled if key[1] == attempt] for attempt in ATTEMPTS]
    found = levels(selections, student_of, parts)
    markers = {row.marker for group in groups for row in group.rows}
    return {m: found["pooled", chosen.attempt, m] for m in markers}


def _charted(tallies: Sequence[_Tally]) -> Charted:
    drawn = [t for t in tallies if t.level == "rates" and t.judged >= FEWEST]
    drawn.sort(key=lambda t: (-t.omitted / t.judged, t.name))
    rest = [t for t in tallies if t not in drawn]
    if len(drawn) < 2:
        return Charted(tuple(_plain(t) for t in [*drawn, *rest]), None, None, None)
    found = chart([t.judged for t in drawn], [t.omitted for t in drawn])
    center = float(found.center.value or 0.0)
    ruler = scale(float(max(found.high_3sd.max(), found.rate.max())))
    rows = [_drawn(i, t, found, ruler, center) for i, t in enumerate(drawn)]
    at = sizes(max(t.judged for t in drawn))
    limits = limits_at(at, center)
    return Charted(
        (*rows, *(_plain(t) for t in rest)),
        center,
        axis(ruler),
        funnel(
            [
                (t.judged, t.omitted / t.judged, i in found.outside_95)
                for i, t in enumerate(drawn)
            ],
            center,
            [
                Limits(n, *(float(limits[name][i]) for name in _FUNNEL))
                for i, n in enumerate(at)
            ],
        ),
    )


_FUNNEL = ("low_95", "high_95", "low_998", "high_998")
LIMITS = ("low_3sd", "high_3sd", *_FUNNEL)


def _drawn(
    i: int, tally: _Tally, found: Chart, ruler: Scale, center: float
) -> ChartRow:
    limits = {name: float(getattr(found, name)[i]) for name in LIMITS}
    beyond = [
        words
        for words, places in (
            ("the 3 SD limits", found.outside_3sd),
            ("the 99.8% limits", found.outside_998),
            ("the 95% limits", found.outside_95),
        )
        if i in places
    ]
    rate = tally.omitted / tally.judged
    return ChartRow(
        name=tally.name,
        number=i + 1,
        judged=tally.judged,
        omitted=tally.omitted,
        rate=_rate(tally),
        limits=limits,
        outside=" and ".join(beyond),
        picture=control.row(
            ruler, tally.name, rate, limits["low_3sd"], limits["high_3sd"], center
        ),
    )


def _plain(tally: _Tally) -> ChartRow:
    shown = tally.level != "nothing"
    rated = tally.level == "rates" and tally.judged >= FEWEST
    return ChartRow(
        name=tally.name,
        number=None,
        judged=tally.judged if shown else 0,
        omitted=tally.omitted if shown else None,
        rate=_rate(tally)
        if rated
        else Figure(
            None,
            reason="too few to be drawn"
            if shown
            else "so few that one student could be worked out",
        ),
        limits={},
        outside="",
        picture=None,
    )


def _rate(tally: _Tally) -> Figure:
    low, high = wilson([tally.omitted], [tally.judged])
    return Figure(
        tally.omitted / tally.judged,
        float(low[0]),
        float(high[0]),
        tally.judged,
        METHOD,
    )
