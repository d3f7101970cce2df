"""A release's comments as WebVTT (W3C, WebVTT: The Web Video Text Tracks Format)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

# A cue stays as long as it takes to read, within bounds. 15 characters a second and a
# few seconds at least: common practice for captions, no single source.
READING_SPEED = 15
SHORTEST = 4_000
LONGEST = 15_000


@dataclass(frozen=True)
class Cue:
    """One comment: seconds into the recording (None: about the whole), and its words.

    `heading` says its kind and what it is about, in one line.
    """

    at: float | None
    heading: str
    text: str


def comments_as_webvtt(cues: Sequence[Cue], *, title: str, length: float | None) -> str:
    """The file's text: one cue a comment in time order; those without a moment as NOTE.

    No cue outlasts the recording where its length is known, and every cue ends after
    it starts.
    """
    timed = sorted(
        (round(c.at * 1000), n) for n, c in enumerate(cues) if c.at is not None
    )
    whole = [f"{cue.heading}: {cue.text}" for cue in cues if cue.at is None]
    blocks = ["WEBVTT", _note(title)]
    if whole:
        blocks.append(_note("\n".join(["About the whole recording", *whole])))
    for number, (start, n) in enumerate(timed, 1):
        words = f"{cues[n].heading}\n{cues[n].text}"
        times = f"{_time(start)} --> {_time(_end(start, len(words), length))}"
        blocks.append("\n".join([str(number), times, *_lines(words)]))
    return "\n\n".join(blocks) + "\n"


def _end(start: int, characters: int, length: float | None) -> int:
    """Milliseconds."""
    lasting = characters * 1000 // READING_SPEED
    end = start + min(max(lasting, SHORTEST), LONGEST)
    if length is not None:
        end = min(end, round(length * 1000))
    # A moment at or past the end that the player reported still needs a cue.
    return max(end, start + 1)


def _note(text: str) -> str:
    return "NOTE " + "\n".join(_lines(text))


def _lines(text: str) -> list[str]:
    """Lines that may stand in a block: escaped, so that none holds an arrow, and none
    empty, since an empty line ends the block.
    """
    whole = text.replace("\0", "\N{REPLACEMENT CHARACTER}")
    lines = (line.strip() for line in whole.splitlines())
    return [escape(line, quote=False) for line in lines if line]


def _time(milliseconds: int) -> str:
    seconds, part = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{part:03}"
