"""The time spine: a recording's time as a ruler, with every mark and comment on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

TOP = 10
LENGTH = 560
MARKS_X = 38
GLYPH = 10
COMMENTS_WIDTH = 9
LANES = 4  # beyond that, marks of one moment lie over each other
STEPS = (  # seconds between ticks, and between ticks with words
    (10, 60),
    (60, 300),
    (120, 600),
    (300, 1800),
    (900, 3600),
    (3600, 21600),
)
MOST_TICKS = 30


@dataclass(frozen=True)
class Tick:
    """`text` is the time where the tick is a long one, else empty."""

    y: float
    text: str


@dataclass(frozen=True)
class Glyph:
    """A mark's glyph: top left corner, state, and its words."""

    x: float
    y: float
    state: str
    title: str


@dataclass(frozen=True)
class Comment:
    """The tip of a comment's triangle."""

    x: float
    y: float


@dataclass(frozen=True)
class Part:
    """A part of the recording that was not played, from y to y."""

    start: float
    end: float


@dataclass(frozen=True)
class Spine:
    """`seconds` lie between `top` and `bottom`; `now` is the player's place, if any."""

    width: float
    height: int
    top: int
    bottom: int
    seconds: float
    ticks: tuple[Tick, ...]
    marks: tuple[Glyph, ...]
    comments: tuple[Comment, ...]
    unplayed: tuple[Part, ...]
    now: float | None
    states: tuple[str, ...]
    title: str


@dataclass(frozen=True)
class Moment:
    """A mark at its time in seconds: the state's key, and the words for both."""

    at: float
    state: str
    title: str = ""


def spine(
    length: float | None,
    marks: Iterable[Moment] = (),
    comments: Iterable[float] = (),
    unplayed: Iterable[tuple[float, float]] = (),
    now: float | None = None,
) -> Spine:
    """Place marks, comments and unplayed parts (all in seconds) along the ruler.

    Marks that would lie over each other are spread sideways, earlier ones nearer to
    the ruler. The ruler ends at the first tick at or after the length (None: unknown)
    and everything on it. Raises ValueError for a time below 0 or a part that ends
    before it starts.

    >>> drawn = spine(70, [Moment(6, "done"), Moment(6.5, "said")], comments=[35])
    >>> [(mark.state, mark.x) for mark in drawn.marks], drawn.comments[0].y
    ([('done', 38), ('said', 48)], 290.0)
    """
    marks = sorted(marks, key=lambda mark: mark.at)
    comments, unplayed = sorted(comments), sorted(unplayed)
    times = (
        [mark.at for mark in marks] + comments + [t for part in unplayed for t in part]
    )
    times += [t for t in (length, now) if t is not None]
    if any(t < 0 for t in times) or any(end < start for start, end in unplayed):
        raise ValueError(
            "times on a spine count from 0, and a part ends after it starts"
        )
    minor, major, seconds = _ruler(max(times, default=0))

    def y(at: float) -> float:
        return round(TOP + at / seconds * LENGTH, 1)

    glyph_ys = [y(mark.at) - GLYPH / 2 for mark in marks]
    lanes = _lanes(glyph_ys, GLYPH, LANES)
    comments_x = MARKS_X + GLYPH * (max(lanes, default=0) + 1) + 4
    comment_ys = [y(at) for at in comments]
    comment_lanes = _lanes(comment_ys, GLYPH, LANES)
    return Spine(
        width=comments_x + COMMENTS_WIDTH * (max(comment_lanes, default=0) + 1),
        height=TOP + LENGTH + TOP,
        top=TOP,
        bottom=TOP + LENGTH,
        seconds=seconds,
        ticks=tuple(
            Tick(y(t), "" if t % major else clock(t))
            for t in range(0, seconds + 1, minor)
        ),
        marks=tuple(
            Glyph(MARKS_X + GLYPH * lane, top, mark.state, mark.title)
            for mark, lane, top in zip(marks, lanes, glyph_ys, strict=True)
        ),
        comments=tuple(
            Comment(comments_x + COMMENTS_WIDTH * lane, tip)
            for lane, tip in zip(comment_lanes, comment_ys, strict=True)
        ),
        unplayed=tuple(Part(y(start), y(end)) for start, end in unplayed),
        now=None if now is None else y(now),
        states=tuple(dict.fromkeys(mark.state for mark in marks)),
        title=_title(length, len(marks), len(comments), unplayed, now),
    )


def clock(seconds: float) -> str:
    """A time as a player shows it.

    >>> clock(68), clock(3605)
    ('1:08', '1:00:05')
    """
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def _ruler(last: float) -> tuple[int, int, int]:
    """Seconds between ticks, between long ticks, and of the whole ruler."""
    minor, major = next(
        (step for step in STEPS if last <= step[0] * MOST_TICKS), STEPS[-1]
    )
    return minor, major, minor * max(1, ceil(last / minor))


def _lanes(tops: Sequence[float], size: float, most: int) -> list[int]:
    """For things in order of time, the first lane in which each has room.

    Where none has, the lane whose last one lies furthest away.
    """
    ends = [float("-inf")] * most
    lanes = []
    for top in tops:
        free = (lane for lane in range(most) if ends[lane] <= top)
        lane = next(free, min(range(most), key=lambda lane: ends[lane]))
        ends[lane] = top + size
        lanes.append(lane)
    return lanes


def _title(
    length: float | None,
    marks: int,
    comments: int,
    unplayed: Sequence[tuple[float, float]],
    now: float | None,
) -> str:
    words = f"Time spine{'' if length is None else f' of {clock(length)}'}: "
    words += f"{_counted(marks, 'mark')}, {_counted(comments, 'comment')}"
    if unplayed:
        parts = ", ".join(f"{clock(start)} to {clock(end)}" for start, end in unplayed)
        words += f"; not played: {parts}"
    if now is not None:
        words += f"; now at {clock(now)}"
    return words


def _counted(n: int, word: str) -> str:
    return f"{n} {word}{'' if n == 1 else 's'}"
