"""Which figures of which selections may be shown, so that no two of them tell of one student.

Two selections shown side by side can be subtracted. What is left must then be nothing, or
enough students: ten for rates, three for counts (the threshold rule of statistical
offices: Hundepool A and others (2012) Statistical Disclosure Control, chapter 5; three is
common practice). Who may open a student's own sheet needs no guard from it: this one is
for tables that are printed, downloaded and handed on.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
from typing import Literal, TypeVar

Level = Literal["rates", "counts", "nothing"]
FEWEST = 10
FEWEST_COUNTED = 3

K = TypeVar("K", bound=Hashable)


def levels(
    selections: Mapping[K, Collection[int]],
    student_of: Mapping[int, int],
    partitions: Iterable[Collection[K]] = (),
) -> dict[K, Level]:
    """How much of each selection may be shown, the most important selection first.

    A selection is a set of releases, and `student_of` says whose each is. One that comes
    later gives way to those before it. `partitions` name selections that together make
    up another one: what is hidden of them is never so little that taking the others from
    the whole would show it.

    >>> student_of = dict(enumerate(range(12)))
    >>> levels({"all": range(12), "one marker": range(10)}, student_of)
    {'all': 'rates', 'one marker': 'nothing'}
    """
    found: dict[K, Level] = {}
    seen: list[tuple[frozenset[int], Level]] = []
    for key, releases in selections.items():
        own = frozenset(releases)
        found[key] = _level(own, seen, student_of)
        if found[key] != "nothing":
            seen.append((own, found[key]))
    for parts in partitions:
        _hide_enough(parts, found, selections, student_of)
    return found


def _level(
    own: frozenset[int],
    seen: Iterable[tuple[frozenset[int], Level]],
    student_of: Mapping[int, int],
) -> Level:
    students = _students(own, student_of)
    if students < FEWEST_COUNTED:
        return "nothing"
    level: Level = "rates" if students >= FEWEST else "counts"
    for other, shown in seen:
        if not (own & other):
            continue
        left = _students(own ^ other, student_of)
        if 0 < left < FEWEST_COUNTED:
            return "nothing"
        if 0 < left < FEWEST and shown == "rates":
            level = "counts"
    return level


def _students(releases: Iterable[int], student_of: Mapping[int, int]) -> int:
    """How many students they are of; counted no further than matters."""
    found: set[int] = set()
    for release in releases:
        found.add(student_of[release])
        if len(found) == FEWEST:
            break
    return len(found)


def _hide_enough(
    parts: Collection[K],
    found: dict[K, Level],
    selections: Mapping[K, Collection[int]],
    student_of: Mapping[int, int],
) -> None:
    def students(keys: Iterable[K]) -> int:
        return _students(
            (release for key in keys for release in selections[key]), student_of
        )

    shown = sorted(
        (key for key in parts if found[key] != "nothing"),
        key=lambda key: len(selections[key]),
    )
    hidden = [key for key in parts if found[key] == "nothing" and selections[key]]
    while shown and 0 < students(hidden) < FEWEST_COUNTED:
        hidden.append(shown.pop(0))
        found[hidden[-1]] = "nothing"
