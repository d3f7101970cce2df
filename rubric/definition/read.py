"""A rubric file into a Definition, or every fault of it at once."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Literal

from rubric.definition.coherence import problems
from rubric.definition.document import Document
from rubric.definition.fields import LONGEST_LINE, Fields
from rubric.definition.parts import (
    read_credit,
    read_element,
    read_grid,
    read_key,
    read_part,
)
from rubric.definition.rules import read_rule
from rubric.definition.tree import Node
from rubric.definition.values import (
    Credit,
    Definition,
    Element,
    GlobalRating,
    Grid,
    Section,
)
from rubric.faults import Fault, Faults, Place, quoted

FORMAT = "bellside-rubric/1"
MOST_SECTIONS = 100
MOST_PARTS = 1000  # of a section
MOST_RULES = 200

# RFC 5646, section 2.1, less what no school needs: a language and its subtags.
_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{1,8}){0,3}")


_ReadPart = Callable[[Document, Node, Place], tuple[Fields, Element | Grid]]


def read(text: str | bytes, name: str) -> Definition:
    """The rubric that a YAML or JSON file says; `name` is the file's, for messages.

    Raises Faults with every fault of the file, each with its line.
    """
    definition, faults = read_what_can_be(text, name)
    if definition is None or faults:
        raise Faults(faults)
    return definition


def read_what_can_be(
    text: str | bytes, name: str
) -> tuple[Definition | None, tuple[Fault, ...]]:
    """The rubric as far as it can be read, and every fault, by its line.

    None where there is no telling what the file holds. A faulty value stands as its
    default, an unreadable key as an empty one, a section with an unreadable list of
    parts has none: whoever uses a part first looks whether a fault lies in its place.
    """
    definition = None
    try:
        document = Document(text, name)
        places: dict[Place, Fields] = {}
        definition = _definition(document, places)
        for problem in problems(definition):
            line = places[problem.place].line(problem.key, problem.position)
            document.fault(
                line, problem.what, problem.allowed, problem.place, problem.key
            )
        document.finish()
    except Faults as found:
        return definition, found.faults
    return definition, ()


def _definition(document: Document, places: dict[Place, Fields]) -> Definition:
    fields = Fields(
        document,
        document.root,
        "a rubric",
        ("format", "title", "pass_percent", "sections"),
        (
            "language",
            "unseen_limit_percent",
            "unseen",
            "credit",
            "global_rating",
            "rules",
        ),
    )
    fields.word("format", [FORMAT], default=FORMAT)
    given = read_credit(fields)
    sections = tuple(
        _section(document, places, node, s)
        for s, node in enumerate(fields.items("sections", 1, MOST_SECTIONS))
    )
    rules = []
    for r, node in enumerate(fields.items("rules", 0, MOST_RULES)):
        places["rules", r], rule = read_rule(document, node, ("rules", r))
        rules.append(rule)
    return Definition(
        title=fields.text("title", "", LONGEST_LINE),
        sections=sections,
        pass_percent=fields.number("pass_percent", 0, 100, Fraction(0)),
        language=_language(fields),
        unseen_limit_percent=fields.number(
            "unseen_limit_percent", 0, 100, Definition.unseen_limit_percent
        ),
        unseen=_unseen(fields),
        credit=Credit(
            partly=Definition.credit.partly if given.partly is None else given.partly,
            said=Definition.credit.said if given.said is None else given.said,
        ),
        global_rating=_global_rating(fields),
        rules=tuple(rules),
    )


def _language(fields: Fields) -> str:
    language = fields.text("language", Definition.language)
    if not _LANGUAGE.fullmatch(language):
        what = f"language is {quoted(language)}"
        fields.fault("language", what, "a language tag such as en, de or pt-BR")
    return language


def _unseen(fields: Fields) -> Literal["exclude", "range"]:
    word = fields.word("unseen", ("exclude", "range"), default="exclude")
    return "range" if word == "range" else "exclude"


def _global_rating(fields: Fields) -> GlobalRating | None:
    if "global_rating" not in fields:
        return None
    rating = fields.group("global_rating", ("words", "borderline"))
    words = rating.texts("words", 3, 7)
    borderline = rating.whole("borderline", 1, len(words) or 7, default=1)
    return GlobalRating(words, borderline)


def _section(
    document: Document, places: dict[Place, Fields], node: Node, s: int
) -> Section:
    """A section; without parts, as unreadable, where one of its lists is."""
    lists = ("elements", "grids", "parts")
    optional = ("minimum_percent", *lists)
    place = ("sections", s)
    fields = Fields(document, node, "a section", ("key", "title"), optional, place)
    places[place] = fields
    faults = len(document.faults)
    elements, grids, parts = (fields.items(key, 0, MOST_PARTS) for key in lists)
    if "parts" in fields and ("elements" in fields or "grids" in fields):
        what = "a section has parts beside elements or grids"
        fields.fault("parts", what, "parts alone, or elements and grids")
    elif not (elements or grids or parts) and len(document.faults) == faults:
        fields.fault(None, "a section has no elements", "at least one element or grid")
    readable = len(document.faults) == faults
    readers: tuple[tuple[_ReadPart, Node], ...] = (
        *((read_element, element) for element in elements),
        *((read_grid, grid) for grid in grids),
        *((read_part, part) for part in parts),
    )
    read: list[Element | Grid] = []
    for p, (reader, part) in enumerate(readers):
        of_part = (*place, "parts", p)
        places[of_part], value = reader(document, part, of_part)
        read.append(value)
    return Section(
        key=read_key(fields),
        title=fields.text("title", "", LONGEST_LINE),
        parts=tuple(read) if readable else (),
        minimum_percent=fields.number("minimum_percent", 0, 100, default=None),
    )
