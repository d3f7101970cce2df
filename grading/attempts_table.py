"""The table of pairs: what the same students left out at two looks at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.cohort import (
    Chosen,
    Group,
    Row,
    Selection,
    credits_of,
    levels_of,
    pairs_of,
)
from grading.disclosure import FEWEST, Level
from grading.lineage import lines
from grading.pictures.intervals import Intervals, Rate, Scale, axis, row, scale
from grading.statistics.compare import (
    PairedComparison,
    compare_pairs,
    from_pair_counts,
)
from grading.statistics.figure import Figure
from grading.statistics.omissions import EARNED_NOTHING, by_state, left_out
from grading.statistics.proportions import Floats, wilson
from grading.statistics.states import to_array
from rubric.definition import Element, Section
from rubric.models import Edition


@dataclass(frozen=True)
class PairRow:
    """One element over the pairs judged both times. Without a value in `difference`
    only counts may be shown.
    """

    element: Element
    section: Section
    pairs: int
    both: int
    only_first: int
    only_second: int
    neither: int
    difference: Figure
    q: float | None
    picture: Intervals | None

    @property
    def first(self) -> int:
        return self.both + self.only_first

    @property
    def second(self) -> int:
        return self.both + self.only_second


@dataclass(frozen=True)
class AttemptsTable:
    rows: tuple[PairRow, ...]
    axis: Intervals | None
    rule: str
    students: int
    level: Level

    @property
    def is_small(self) -> bool:
        return self.level != "rates"

    @property
    def is_hidden(self) -> bool:
        return self.level == "nothing"


def attempts_table(group: Group, chosen: Chosen, section: str = "") -> AttemptsTable:
    """The first attempt against the second, over the students who have both.

    A difference is first less second: above 0, it was left out less often the second
    time. Sorted by it, the largest gain first.
    """
    first, second = pairs_of(group.everyone)
    shown = levels_of(group.everyone)
    sides = [shown[Selection(s)] for s in ("first of pairs", "second of pairs")]
    level: Level = "rates"
    if sides != ["rates", "rates"]:
        level = "nothing" if "nothing" in sides else "counts"
    rule = by_state(chosen.count) if chosen.count else EARNED_NOTHING
    if level == "nothing":
        return AttemptsTable((), None, rule, len(first), level)
    looks = [_left_out(side, group, chosen) for side in (first, second)]
    rows, ruler = pair_rows(
        looks[0], looks[1], group.assignment.edition, section, level == "rates"
    )
    return AttemptsTable(
        rows, axis(ruler) if level == "rates" else None, rule, len(first), level
    )


def pair_rows(
    first: Floats, second: Floats, edition: Edition, section: str, drawable: bool
) -> tuple[tuple[PairRow, ...], Scale]:
    """Any two looks at the same students: 1 left out, 0 not, NaN not judged.

    The looks are students x elements in the edition's order. q is corrected over the
    elements with ten pairs or more, which are those that get a difference.
    """
    counted = compare_pairs(first, second)
    shown = lines(edition, None, section)
    enough = [line.i for line in shown if counted.pairs[line.i] >= FEWEST]
    compared = _taken(counted, enough if drawable else [])
    place = {i: n for n, i in enumerate(enough)} if drawable else {}
    rates = [_rates(compared, place.get(line.i)) for line in shown]
    ruler = scale(max((r.high for pair in rates if pair for r in pair), default=1.0))
    rows = []
    for line, pair in zip(shown, rates, strict=True):
        n = place.get(line.i)
        rows.append(
            PairRow(
                element=line.element,
                section=line.section,
                pairs=int(counted.pairs[line.i]),
                both=int(counted.both[line.i]),
                only_first=int(counted.only_first[line.i]),
                only_second=int(counted.only_second[line.i]),
                neither=int(counted.neither[line.i]),
                difference=Figure(None, reason=f"fewer than {FEWEST} pairs")
                if n is None
                else compared.figure(n),
                q=None if n is None else float(compared.q[n]),
                picture=row(ruler, line.element.text, pair[1], pair[0])
                if pair
                else None,
            )
        )
    rows.sort(key=lambda r: (r.only_second - r.only_first, -r.first))
    return tuple(rows), ruler


def _left_out(rows: Sequence[Row], group: Group, chosen: Chosen) -> Floats:
    array = to_array([r.states for r in rows], len(group.definition.elements))
    return left_out(array, credits_of(group.definition), chosen.count or None)


def _taken(found: PairedComparison, places: list[int]) -> PairedComparison:
    return from_pair_counts(
        found.both[places],
        found.only_first[places],
        found.only_second[places],
        found.neither[places],
    )


def _rates(found: PairedComparison, n: int | None) -> tuple[Rate, Rate] | None:
    if n is None:
        return None
    pairs, both = found.pairs[n], found.both[n]
    drawn = []
    for omitted in (both + found.only_first[n], both + found.only_second[n]):
        low, high = wilson(omitted, pairs)
        drawn.append(Rate(float(omitted / pairs), float(low[0]), float(high[0])))
    return drawn[0], drawn[1]
