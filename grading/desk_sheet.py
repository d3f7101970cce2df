"""The sheet as the desk lays it out: sections, rows of single elements, site grids."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import product
from typing import TYPE_CHECKING, Any, Literal

from grading.models.phrase import Phrase
from grading.models.release import comments_of
from grading.moments import as_clock
from grading.recording import at_moment
from grading.scoring.wording import STATE_WORDS
from rubric.definition import Element, Grid, State, caption

if TYPE_CHECKING:
    from grading.models import Marking


@dataclass(frozen=True)
class Row:
    """One element with what stands on it.

    `find` are the words by which it is found, `levels` its levels' words as JSON.
    """

    element: Element
    find: str
    levels: str = ""
    state: str = "open"
    word: str = "open"
    level: int | None = None
    at: str = ""
    link: str = ""


@dataclass(frozen=True)
class Line:
    """One site of a grid: its cells in the order of the grid's columns."""

    site: str
    cells: tuple[Row, ...]


@dataclass(frozen=True)
class Block:
    """A run of single elements (`rows`), or a site grid (`lines` under `columns`)."""

    kind: Literal["list", "grid"]
    rows: list[Row] = field(default_factory=list)
    caption: str = ""
    columns: tuple[str, ...] = ()
    lines: tuple[Line, ...] = ()
    is_critical: bool = False


@dataclass(frozen=True)
class SheetSection:
    key: str
    title: str
    blocks: tuple[Block, ...]
    marked: int
    of: int


def sections_of(marking: Marking) -> list[SheetSection]:
    """Every section in exam order, each element with its state."""
    values = marking.values("element")
    link = marking.submission.link
    sections = []
    for section in marking.definition.sections:
        rows = {
            e.key: _row(e, section.title, values.get(e.key), link)
            for e in section.elements
        }
        sections.append(
            SheetSection(
                section.key,
                section.title,
                tuple(_blocks(section.parts, rows)),
                sum(row.state != "open" for row in rows.values()),
                len(rows),
            )
        )
    return sections


def _row(
    element: Element, section: str, value: dict[str, Any] | None, link: str
) -> Row:
    axes = (element.site, element.side, element.instrument)
    find = " ".join(filter(None, (section, element.text, *axes))).lower()
    levels = (
        json.dumps([level.label for level in element.levels]) if element.levels else ""
    )
    if value is None:
        return Row(element, find, levels)
    state = State(value["state"])
    level = value.get("level")
    word = element.levels[level - 1].label if level else STATE_WORDS[state]
    at = None if value["at"] is None else Decimal(str(value["at"]))
    return Row(
        element,
        find,
        levels,
        state.value,
        word,
        level,
        as_clock(at),
        at_moment(link, at),
    )


def _blocks(parts: tuple[Element | Grid, ...], rows: dict[str, Row]) -> Iterator[Block]:
    single: list[Row] = []
    for part in parts:
        if isinstance(part, Element):
            single.append(rows[part.key])
            continue
        if single:
            yield Block("list", single)
            single = []
        yield _grid(part, rows)
    if single:
        yield Block("list", single)


def _grid(grid: Grid, rows: dict[str, Row]) -> Block:
    """The grid's elements come site by site, so each line is a slice of them."""
    columns = tuple(
        " ".join(filter(None, pair))
        for pair in product(grid.sides or ("",), grid.instruments or ("",))
    )
    width = len(columns)
    cells = [rows[element.key] for element in grid.elements]
    return Block(
        "grid",
        caption=caption(grid.text),
        columns=columns if columns != ("",) else ("state",),
        lines=tuple(
            Line(site, tuple(cells[width * i : width * (i + 1)]))
            for i, site in enumerate(grid.sites)
        ),
        is_critical=grid.critical is not None,
    )


@dataclass(frozen=True)
class Rating:
    """The global rating: its words as JSON, and the one given."""

    words: str
    value: int | None
    word: str


def rating_of(marking: Marking) -> Rating | None:
    """None where the edition asks for none."""
    asked = marking.definition.global_rating
    if asked is None:
        return None
    given = marking.values("rating").get("", {}).get("value")
    return Rating(
        json.dumps(asked.words), given, asked.words[given - 1] if given else "open"
    )


@dataclass(frozen=True)
class Remark:
    """One comment as it is listed: its moment, what it is about, what it says."""

    at: str
    link: str
    about: str
    kind: str
    text: str


def remarks_of(marking: Marking) -> list[Remark]:
    """The comments in time order."""
    definition = marking.definition
    link = marking.submission.link
    return [
        Remark(
            as_clock(comment["at"]),
            at_moment(link, comment["at"]),
            definition.elements[definition.index[comment["element"]]].text
            if comment["element"]
            else "",
            Phrase.Kind(comment["kind"]).label.lower(),
            comment["text"],
        )
        for comment in comments_of(marking)
    ]
