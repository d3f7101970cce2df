"""What a cohort left out, element by element, from packed states."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.statistics import states as packed
from grading.statistics.figure import Figure
from grading.statistics.proportions import Counts, Floats, wilson

METHOD = "Wilson score interval"
BY_STATE = ("missed", "said")  # what counts as left out where no credit is known
EARNED_NOTHING = "marks that earned 0"
JUDGED = ("done", "partly", "said", "missed")


@dataclass(frozen=True)
class Credits:
    """Share of the points one element earns by state; with levels, by level alone."""

    partly: float = 0.5
    said: float = 0.0
    levels: tuple[float, ...] = ()


@dataclass(frozen=True)
class Omissions:
    """Counts and rates, an entry an element; rates and limits are NaN where undefined.

    `counts` has a row of counts for each state: open, done, partly, said, missed,
    unseen, excused and level (all levels together). `done` to `missed` are shares of
    the judged marks, `unseen` is a share of all marks. `rule` says in words what was
    counted as an omission.
    """

    rule: str
    counts: Mapping[str, Counts]
    judged: Counts
    omitted: Counts
    rate: Floats
    low: Floats
    high: Floats
    done: Floats
    partly: Floats
    said: Floats
    missed: Floats
    unseen: Floats

    def figure(self, i: int) -> Figure:
        """The omission rate of element i."""
        n = int(self.judged[i])
        if n == 0:
            return Figure(None, method=METHOD, reason="no mark of it was judged")
        return Figure(
            float(self.rate[i]), float(self.low[i]), float(self.high[i]), n, METHOD
        )


def credit_table(elements: Iterable[Credits]) -> npt.NDArray[np.float64]:
    """Credit of every state code, an elements x 256 table; NaN is not judged.

    An element with levels earns by its level and by nothing else.

    >>> table = credit_table([Credits(said=1), Credits(levels=(0, 0.5, 1))])
    >>> table[0, 1:5].tolist(), table[1, 17:20].tolist()
    ([1.0, 0.5, 1.0, 0.0], [0.0, 0.5, 1.0])
    """
    elements = list(elements)
    table = np.full((len(elements), 256), np.nan)
    for row, element in zip(table, elements, strict=True):
        if element.levels:
            first = packed.LEVEL + 1
            row[first : first + len(element.levels)] = element.levels
        else:
            row[packed.DONE] = 1.0
            row[packed.PARTLY] = element.partly
            row[packed.SAID] = element.said
            row[packed.MISSED] = 0.0
    return table


def omissions(
    states: npt.NDArray[np.uint8],
    credit_table: npt.NDArray[np.float64] | None = None,
    count: Collection[str] | None = None,
) -> Omissions:
    """Count what was left out, from a students x elements array of state codes.

    With a credit table (elements x 256, or 256 for all) an omission is a judged mark
    that earns 0. With `count` (states out of done, partly, said and missed), or with
    neither, it goes by state: missed or said only. Unseen and excused marks, and
    elements still open, are not judged. Wilson score limits, 95%.
    Raises ValueError for a state that cannot be counted, and for a mark that the
    table gives no credit although its state is judged.

    >>> seen = np.array([[1, 4], [3, 4], [5, 4]], dtype=np.uint8)
    >>> found = omissions(seen)
    >>> found.omitted.tolist(), found.judged.tolist(), found.rate.tolist()
    ([1, 3], [2, 3], [0.5, 1.0])
    """
    tally = _tally(states)
    table, rule = _rule(tally, credit_table, count)
    omitted = np.where(table == 1, tally, 0).sum(axis=1)
    counts = {name: tally[:, code] for name, code in packed.CODES.items()}
    counts["level"] = tally[:, packed.LEVEL + 1 :].sum(axis=1)
    return from_counts(counts, omitted, rule)


def left_out(
    states: npt.NDArray[np.uint8],
    credit_table: npt.NDArray[np.float64] | None = None,
    count: Collection[str] | None = None,
) -> Floats:
    """Which marks are omissions: 1 left out, 0 not, NaN not judged; students x elements.

    The rule, the arguments and the errors are those of `omissions`.

    >>> left_out(np.array([[1, 4, 5]], dtype=np.uint8)).tolist()
    [[0.0, 1.0, nan]]
    """
    table, _ = _rule(_tally(states), credit_table, count)
    return table[np.arange(states.shape[1]), states]


def by_state(count: Collection[str]) -> str:
    """The rule in words, where states and not credits are counted."""
    states = [name for name in ("missed", "said", "partly", "done") if name in count]
    return f"marks with the state {' or '.join(states)}"


def from_counts(counts: Mapping[str, Counts], omitted: Counts, rule: str) -> Omissions:
    """Rates, limits and shares from counts of marks by state, an entry an element.

    `counts` needs every state of `Omissions.counts`.
    """
    judged = sum((counts[name] for name in (*JUDGED, "level")), np.zeros_like(omitted))
    everything = judged + counts["unseen"] + counts["excused"]
    low, high = wilson(omitted, judged)
    return Omissions(
        rule=rule,
        counts=counts,
        judged=judged,
        omitted=omitted,
        rate=_share(omitted, judged),
        low=low,
        high=high,
        done=_share(counts["done"], judged),
        partly=_share(counts["partly"], judged),
        said=_share(counts["said"], judged),
        missed=_share(counts["missed"], judged),
        unseen=_share(counts["unseen"], everything),
    )


def _tally(states: npt.NDArray[np.uint8]) -> Counts:
    """How often each code was given, elements x 256."""
    elements = states.shape[1]
    slots = states + 256 * np.arange(elements, dtype=np.int32)
    tally = np.bincount(slots.ravel(), minlength=256 * elements)
    tally = tally.reshape(elements, 256)
    if tally[:, packed.EXCUSED + 1 : packed.LEVEL + 1].any():
        raise ValueError("the array holds a byte that is no state")
    return tally


def _rule(
    tally: Counts,
    credit_table: npt.NDArray[np.float64] | None,
    count: Collection[str] | None,
) -> tuple[Floats, str]:
    """What each code counts as, elements x 256: 1 left out, 0 not, NaN not judged."""
    judged = np.zeros(256, dtype=np.bool_)
    judged[[packed.CODES[name] for name in JUDGED]] = True
    judged[packed.LEVEL + 1 :] = True
    if credit_table is not None and count is None:
        credits_ = np.broadcast_to(credit_table, tally.shape)
        _check_credits((tally > 0) & judged & np.isnan(credits_))
        omitted, rule = credits_ == 0, EARNED_NOTHING
    else:
        counted = BY_STATE if count is None else count
        omitted = np.zeros(tally.shape, dtype=np.bool_)
        omitted[:, [_countable(state) for state in counted]] = True
        rule = by_state(counted)
    return np.where(judged, omitted, np.nan), rule


def _check_credits(without: npt.NDArray[np.bool_]) -> None:
    if without.any():
        element, code = (int(x) for x in np.argwhere(without)[0])
        state, level = packed.unpack(bytes([code]))[0]
        words = state if level is None else f"{state} {level}"
        raise ValueError(f"element number {element} has no credit for {words}")


def _countable(state: str) -> int:
    if state not in JUDGED:
        raise ValueError(
            f"a counted state must be one of {', '.join(JUDGED)}, but got {state!r}"
        )
    return packed.CODES[state]


def _share(part: Counts, whole: Counts) -> Floats:
    return part / np.where(whole > 0, whole, np.nan)
