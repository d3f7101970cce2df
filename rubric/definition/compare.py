"""Two definitions of one rubric: what came, what went, and what changed how."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from rubric.definition.differences import (
    NOTHING,
    Difference,
    Place,
    of_rule,
    of_section,
    of_weight,
    of_whole,
    of_words,
    places,
)
from rubric.definition.grids import caption
from rubric.definition.values import Definition, Element, Grid, Rule

Tokens = Mapping[str, str]


@dataclass(frozen=True)
class Pair:
    """An element that stands in both; `is_same`: its author says it means the same."""

    before: Place
    after: Place
    is_same: bool


@dataclass(frozen=True)
class Group:
    """Elements that came or went: some or all of one grid, or one element."""

    key: str
    name: str
    section: str
    elements: tuple[Element, ...]
    is_grid: bool


@dataclass(frozen=True)
class Change:
    """What differs alike for one element, for elements of one grid, or for a rule.

    `key`, `name` and `section` are those of after, `elements` the keys there.
    """

    key: str
    name: str
    section: str
    differences: tuple[Difference, ...]
    elements: tuple[str, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Everything in which two definitions differ; every list is in exam order.

    `reworded` holds words, technique, axes and source; `reweighted` points, critical,
    credit, levels and what may be excused; `moved` section, grid and order; `limits`
    what holds for the rubric and its sections. `pairs` is every element of both, and
    `anew` those of them that mean something else, so their author.
    """

    pairs: tuple[Pair, ...]
    added: tuple[Group, ...]
    removed: tuple[Group, ...]
    reworded: tuple[Change, ...]
    reweighted: tuple[Change, ...]
    moved: tuple[Change, ...]
    rules_added: tuple[Rule, ...]
    rules_removed: tuple[Rule, ...]
    rules_changed: tuple[Change, ...]
    limits: tuple[Change, ...]

    @property
    def is_empty(self) -> bool:
        """Whether the definitions are equal; `anew` is what people said of them."""
        return not any(value for name, value in vars(self).items() if name != "pairs")

    @property
    def same(self) -> tuple[Pair, ...]:
        return tuple(pair for pair in self.pairs if pair.is_same)

    @property
    def anew(self) -> tuple[Pair, ...]:
        return tuple(pair for pair in self.pairs if not pair.is_same)


def compare(
    before: Definition,
    after: Definition,
    was: Tokens | None = None,
    now: Tokens | None = None,
) -> Comparison:
    """What differs, `was` and `now` being tokens by element key of before and of after.

    An element is found again by its token, else by its key; a key without a token has
    its own name for one. No two elements of one definition have the same token.
    """
    old, new = places(before), places(after)
    pairs = _pairs(old, new, was or {}, now or {})
    kept = {pair.before.element.key for pair in pairs}
    found = {pair.after.element.key for pair in pairs}
    rules = {rule.key: rule for rule in before.rules}
    ruled = {rule.key for rule in after.rules}
    return Comparison(
        pairs,
        added=_groups(place for key, place in new.items() if key not in found),
        removed=_groups(place for key, place in old.items() if key not in kept),
        reworded=_changes(pairs, of_words),
        reweighted=_changes(pairs, of_weight),
        moved=tuple(_moved(pairs)),
        rules_added=tuple(rule for rule in after.rules if rule.key not in rules),
        rules_removed=tuple(rule for rule in before.rules if rule.key not in ruled),
        rules_changed=tuple(_rules(before, after)),
        limits=tuple(_limits(before, after)),
    )


def _pairs(
    old: dict[str, Place], new: dict[str, Place], was: Tokens, now: Tokens
) -> tuple[Pair, ...]:
    """By token first, so that a renamed element is found; then by key."""
    keys = {was.get(key, key): key for key in old}
    same = {key: keys[now.get(key, key)] for key in new if now.get(key, key) in keys}
    taken = set(same.values())
    same |= {key: key for key in new if key not in same and key in old.keys() - taken}
    return tuple(
        Pair(
            old[same[key]],
            place,
            was.get(same[key], same[key]) == now.get(key, key),
        )
        for key, place in new.items()
        if key in same
    )


def _groups(of: Iterable[Place]) -> tuple[Group, ...]:
    return tuple(
        Group(
            part.key,
            name_of(part),
            first.section.title,
            (first.element, *(place.element for place in rest)),
            isinstance(part, Grid),
        )
        for part, (first, *rest) in groupby(of, lambda place: place.part)
    )


def name_of(part: Element | Grid) -> str:
    """A grid's words with its axes left out, or an element's words."""
    return caption(part.text) if isinstance(part, Grid) else part.text


def _changes(
    pairs: Iterable[Pair], differ: Callable[[Place, Place], tuple[Difference, ...]]
) -> tuple[Change, ...]:
    """Elements of one grid that changed alike are one change."""
    alike: dict[tuple[str, tuple[Difference, ...]], list[Place]] = {}
    for pair in pairs:
        if found := differ(pair.before, pair.after):
            alike.setdefault((pair.after.part.key, found), []).append(pair.after)
    return tuple(_change(found, at) for (_, found), at in alike.items())


def _change(differences: tuple[Difference, ...], at: Sequence[Place]) -> Change:
    part = at[0].part if len(at) > 1 else at[0].element
    keys = tuple(place.element.key for place in at)
    return Change(part.key, name_of(part), at[0].section.title, differences, keys)


def _moved(pairs: tuple[Pair, ...]) -> Iterator[Change]:
    """What left its section or grid, and the fewest that must move to explain the order."""
    numbers = [pair.before.number for pair in pairs]
    stayed = _longest_rising(numbers)

    for found, run in groupby(pairs, lambda pair: _homes(pair, stayed)):
        first, *rest = run
        if found:
            if first.before.number not in stayed:
                was, now = first.before.number, first.after.number
                found = (*found[:-1], Difference("order", f"{was}", f"{now}"))
            yield _change(found, [first.after, *(pair.after for pair in rest)])


def _homes(pair: Pair, stayed: set[int]) -> tuple[Difference, ...]:
    """Which section and grid it left for which; the last: that its order is another."""
    a, b = pair.before, pair.after
    found = []
    if a.section.key != b.section.key:
        found.append(Difference("section", a.section.title, b.section.title))
    if _grid(a) != _grid(b):
        found.append(Difference("grid", _grid(a) or NOTHING, _grid(b) or NOTHING))
    if a.number not in stayed:
        found.append(Difference("order", "", ""))
    return tuple(found)


def _grid(place: Place) -> str:
    return place.part.key if isinstance(place.part, Grid) else ""


def _longest_rising(numbers: Sequence[int]) -> set[int]:
    """The longest subsequence that rises; numbers differ from each other.

    >>> sorted(_longest_rising([3, 1, 2, 5, 4]))
    [1, 2, 4]
    """
    ends: list[int] = []  # the lowest end of a rising row of each length
    before: dict[int, int | None] = {}
    for number in numbers:
        at = bisect_left(ends, number)
        before[number] = ends[at - 1] if at else None
        ends[at : at + 1] = [number]
    longest: set[int] = set()
    last = ends[-1] if ends else None
    while last is not None:
        longest.add(last)
        last = before[last]
    return longest


def _rules(before: Definition, after: Definition) -> Iterator[Change]:
    at = {rule.key: n for n, rule in enumerate(before.rules, 1)}
    both = [rule for rule in after.rules if rule.key in at]
    stayed = _longest_rising([at[rule.key] for rule in both])
    for n, rule in enumerate(after.rules, 1):
        if rule.key not in at:
            continue
        was = at[rule.key]
        found = of_rule(before.rules[was - 1], rule)
        if was not in stayed:
            found = (*found, Difference("order", f"{was}", f"{n}"))
        if found:
            yield Change(rule.key, rule.text, "", found)


def _limits(before: Definition, after: Definition) -> Iterator[Change]:
    if found := of_whole(before, after):
        yield Change("", "The whole rubric", "", found)
    old = {section.key: section for section in before.sections}
    new = {section.key: section for section in after.sections}
    for key, section in new.items():
        if key not in old:
            gained = (Difference("section", NOTHING, "added"),)
            yield Change(key, section.title, section.title, gained)
        elif changed := of_section(old[key], section):
            yield Change(key, section.title, section.title, changed)
    for key, section in old.items():
        if key not in new:
            lost = (Difference("section", NOTHING, "removed"),)
            yield Change(key, section.title, section.title, lost)
