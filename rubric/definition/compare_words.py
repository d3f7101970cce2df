"""A comparison in words: a line for each change, and a note of all of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from rubric.definition.compare import Change, Comparison, Group
from rubric.definition.differences import NOTHING, Difference

LONGEST_NOTE = 500
NAMED = 3  # of one kind in a note; the rest is counted


class Line(NamedTuple):
    """One change: its sign and the word for it, what changed, how."""

    sign: str
    word: str
    name: str
    how: str


def lines(comparison: Comparison) -> tuple[Line, ...]:
    """Every change, in the order of the comparison's lists."""
    return (
        *(Line("+", "added", _counted(group), "") for group in comparison.added),
        *(Line("−", "removed", _counted(group), "") for group in comparison.removed),
        *_of("~", "reworded", comparison.reworded),
        *_of("±", "re-weighted", comparison.reweighted),
        *_of("→", "moved", comparison.moved),
        *(Line("+", "rule added", rule.text, "") for rule in comparison.rules_added),
        *(
            Line("−", "rule removed", rule.text, "")
            for rule in comparison.rules_removed
        ),
        *_of("~", "rule changed", comparison.rules_changed),
        *_of("~", "changed", comparison.limits),
    )


def note(comparison: Comparison) -> str:
    """A draft of what to tell those who mark with it: at most 500 characters.

    Each kind of change names its first three; what no longer fits is counted.
    """
    kinds: dict[str, list[Line]] = {}
    for line in lines(comparison):
        kinds.setdefault(line.word, []).append(line)
    told = ""
    for word, of in kinds.items():
        names = "; ".join(f"{line.name}{_short(line)}" for line in of[:NAMED])
        more = f"; and {len(of) - NAMED} more" if len(of) > NAMED else ""
        sentence = f"{word.capitalize()}: {names}{more}. "
        if len(told) + len(sentence) > LONGEST_NOTE - 50:
            sentence = f"{word.capitalize()}: {len(of)}. "
        told += sentence
    return told.strip()[:LONGEST_NOTE]


def _of(sign: str, word: str, changes: tuple[Change, ...]) -> Iterator[Line]:
    for change in changes:
        count = len(change.elements)
        name = f"{change.name} ({count} elements)" if count > 1 else change.name
        yield Line(sign, word, name, "; ".join(map(_says, change.differences)))


def _counted(group: Group) -> str:
    count = len(group.elements)
    return f"{group.name} ({count} elements)" if group.is_grid else group.name


def _says(difference: Difference) -> str:
    """What was and what is; of long words only that they changed."""
    what, before, after = difference
    if what in {"words", "expects", "source", "may be heard as"}:
        return what
    if after in {"added", "removed"} and before == NOTHING:
        return after
    return f"{what} {before} to {after}"


def _short(line: Line) -> str:
    return f" ({line.how})" if line.how and line.how != "words" else ""
