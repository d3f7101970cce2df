"""A rubric while it is worked on: the keys of its file in nodes, right or wrong.

Each node (the sheet, a section, an element, a grid, a rule) has an id that no edit
changes, and knows the version of the draft in which each of its fields last changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain, count
from typing import Any, Literal, cast, get_args

from rubric.definition.exact import Json, Number, dumps, for_browser, loads
from rubric.definition.fields import LONGEST_LINE
from rubric.definition.parts import GRID_ONLY
from rubric.definition.read import FORMAT as FILE_FORMAT
from rubric.definition.read import read
from rubric.definition.rules import keys_of_kind
from rubric.definition.values import Definition
from rubric.definition.write import write_json
from rubric.faults import Place

FORMAT = "bellside-draft/1"

Kind = Literal["sheet", "section", "element", "grid", "rule"]
KINDS: tuple[Kind, ...] = get_args(Kind)

_PART = ("key", "text", "technique")
_WEIGHT = ("critical", "credit", "expects", "source", "may_excuse", "say")
# The keys that a file takes in each, in the order in which they are written there.
FIELDS: dict[Kind, tuple[str, ...]] = {
    "sheet": (
        "title",
        "language",
        "pass_percent",
        "unseen_limit_percent",
        "unseen",
        "credit",
        "global_rating",
    ),
    "section": ("key", "title", "minimum_percent"),
    "element": (*_PART, "points", *_WEIGHT, "levels"),
    "grid": (
        *_PART,
        "sites",
        "sides",
        "instruments",
        "points",
        "points_shared",
        *_WEIGHT,
    ),
    "rule": (
        "key",
        "kind",
        "count",
        "of",
        "first",
        "then",
        "per",
        "slack_seconds",
        "minutes",
        "effect",
        "text",
    ),
}

SHEET, SECTIONS, RULES = "sheet", "sections", "rules"


@dataclass(frozen=True)
class Node:
    """One thing that is edited on its own.

    `version` and `changed` (by field) are versions of the draft. `named` is the key by
    which rules still know it while its own key is none or another's.
    """

    id: str
    kind: Kind
    fields: Mapping[str, Json]
    version: int = 1
    changed: Mapping[str, int] = field(default_factory=dict)
    by: str = ""
    named: str = ""

    def wire(self) -> dict[str, Any]:
        """The node as JSON, without the parts of a section."""
        return {
            "id": self.id,
            "kind": self.kind,
            "version": self.version,
            "changed": dict(self.changed),
            "by": self.by,
            "fields": dict(self.fields),
        }

    def file(self) -> dict[str, Json]:
        """Its keys as a file has them; a rule's without those of another kind of rule."""
        keys = {
            name: self.fields[name] for name in FIELDS[self.kind] if name in self.fields
        }
        if self.kind == "rule" and (its := keys_of_kind(keys.get("kind"))):
            keys = {name: value for name, value in keys.items() if name in its}
        if self.kind == "grid" and not any(name in keys for name in GRID_ONLY):
            keys["sites"] = []  # or it would be read as an element
        return keys


@dataclass(frozen=True)
class Draft:
    """All nodes by id; `order` holds the ids of "sections", of each section, of "rules".

    `kept` remembers the last changes by id, so that one that comes again does nothing.
    """

    version: int
    nodes: Mapping[str, Node]
    order: Mapping[str, tuple[str, ...]]
    kept: tuple[str, ...] = ()

    @classmethod
    def of(
        cls, definition: Definition, by: str = "", instead_of: Draft | None = None
    ) -> Draft:
        """The draft that says the same.

        Where it takes another's place no id of that one comes again, and every field of
        its sheet is new: whatever was being done to the old one meets neither in silence.
        """
        file = loads(write_json(definition))
        version = instead_of.version + 1 if instead_of else 1
        stem = f"v{version}-" if instead_of else ""
        numbers = {letter: count(1) for letter in "spr"}
        fields = {name: file[name] for name in FIELDS["sheet"] if name in file}
        changed = dict.fromkeys(FIELDS["sheet"], version) if instead_of else {}
        nodes = {SHEET: Node(SHEET, "sheet", fields, version, changed, by)}
        order: dict[str, list[str]] = {SECTIONS: [], RULES: []}

        def put(into: str, letter: str, kind: Kind, fields: dict[str, Json]) -> str:
            ident = f"{stem}{letter}{next(numbers[letter])}"
            nodes[ident] = Node(ident, kind, fields, version, by=by)
            order[into].append(ident)
            return ident

        for section in file["sections"]:
            lists = [section.pop(name, []) for name in ("elements", "grids", "parts")]
            ident = put(SECTIONS, "s", "section", section)
            order[ident] = []
            for part in chain.from_iterable(lists):
                grid = any(key in part for key in GRID_ONLY)
                put(ident, "p", "grid" if grid else "element", part)
        for rule in file.get("rules", []):
            put(RULES, "r", "rule", rule)
        kept = instead_of.kept if instead_of else ()
        return cls(version, nodes, {k: tuple(v) for k, v in order.items()}, kept)

    @classmethod
    def empty(cls, title: str) -> Draft:
        """A rubric that is begun: its title, and one section without elements."""
        sheet = {"title": title, "language": "en", "pass_percent": Number("75")}
        section = {"key": "opening", "title": "Opening"}
        return cls(
            1,
            {SHEET: Node(SHEET, "sheet", sheet), "s1": Node("s1", "section", section)},
            {SECTIONS: ("s1",), "s1": (), RULES: ()},
        )

    @classmethod
    def load(cls, text: str) -> Draft:
        """What `dump` wrote. Raises ValueError for anything else."""
        told = loads(text)
        if not isinstance(told, dict) or told.get("format") != FORMAT:
            raise ValueError(f"a draft's format must be {FORMAT}")
        nodes: dict[str, Node] = {}
        order: dict[str, tuple[str, ...]] = {}

        def take(into: str, rows: list[dict[str, Any]]) -> None:
            order[into] = tuple(row["id"] for row in rows)
            for row in rows:
                nodes[row["id"]] = Node(
                    row["id"],
                    row["kind"],
                    row["fields"],
                    int(row["version"]),
                    {name: int(at) for name, at in row["changed"].items()},
                    row["by"],
                    row.get("named", ""),
                )
                if row["kind"] == "section":
                    take(row["id"], row["parts"])

        sheet = {**told["sheet"], "kind": "sheet"}
        take(SHEET, [sheet])
        del order[SHEET]
        take(SECTIONS, told["sections"])
        take(RULES, told["rules"])
        return cls(int(told["version"]), nodes, order, tuple(told["kept"]))

    def dump(self) -> str:
        """The draft as text, with nothing lost."""
        told = self._told(
            lambda node: node.wire() | ({"named": node.named} if node.named else {})
        )
        return dumps({**told, "kept": self.kept})

    def wire(self) -> dict[str, Any]:
        """The draft for the page, whose numbers are floating point."""
        return cast(dict[str, Any], for_browser(self._told(Node.wire)))

    def file(self) -> str:
        """The rubric file as JSON, as right or wrong as the draft is."""
        return dumps(
            {
                "format": FILE_FORMAT,
                **self.nodes[SHEET].file(),
                "sections": [
                    {
                        **self.nodes[section].file(),
                        "parts": [self.nodes[p].file() for p in self.order[section]],
                    }
                    for section in self.order[SECTIONS]
                ],
                "rules": [self.nodes[rule].file() for rule in self.order[RULES]],
            }
        )

    def definition(self) -> Definition:
        """What the draft says. Raises Faults while anything in it is wrong."""
        return read(self.file(), "the draft")

    @property
    def title(self) -> str:
        """The title, where it is one line that a file takes; else empty."""
        title = self.nodes[SHEET].fields.get("title")
        if type(title) is not str:
            return ""
        line = title.strip()
        fits = len(line) <= LONGEST_LINE and line.isprintable()
        return line if fits else ""

    def changed_after(self, version: int) -> list[dict[str, Any]]:
        """The nodes with a change later than that version, for the page."""
        return [
            for_browser(node.wire())
            for node in self.nodes.values()
            if node.version > version
        ]

    def node_at(self, place: Place) -> str:
        """The id of what stands at a place of the file; the sheet's where nothing does."""
        match place:
            case ("sections", int(s), "parts", int(p)):
                return self.order[self.order[SECTIONS][s]][p]
            case ("sections", int(s)):
                return self.order[SECTIONS][s]
            case ("rules", int(r)):
                return self.order[RULES][r]
        return SHEET

    def parts(self) -> Iterator[Node]:
        """Elements and grids in exam order."""
        for section in self.order[SECTIONS]:
            for part in self.order[section]:
                yield self.nodes[part]

    def _told(self, told: Any) -> dict[str, Any]:
        return {
            "format": FORMAT,
            "version": self.version,
            "sheet": told(self.nodes[SHEET]),
            "sections": [
                told(self.nodes[section])
                | {"parts": [told(self.nodes[part]) for part in self.order[section]]}
                for section in self.order[SECTIONS]
            ],
            "rules": [told(self.nodes[rule]) for rule in self.order[RULES]],
        }
