"""Changes to a draft: set fields, add, move, remove; each kept, refused, or a clash.

A change says on which version of the draft its maker stood (`base`). It clashes only
where somebody changed the same field after that, to something else.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import Any

from rubric.definition.draft import RULES, SECTIONS, SHEET, Draft, Node
from rubric.definition.exact import Json, dumps, for_browser
from rubric.definition.rename import renamed
from rubric.definition.sent import (
    KINDS_ADDED,
    Refused,
    base_of,
    fields_of,
    id_of,
    node_of,
    text_of,
)

MOST_REMEMBERED = 1000  # changes; more than wait on any one device
LARGEST_DRAFT = 400_000  # characters of all fields; a rubric of 100 elements has 30 000
MOST_NODES = {"section": 100, "element": 1000, "grid": 1000, "rule": 200}

_GONE = (
    "its section is no longer in the rubric: somebody took it away, "
    "or put a file in the rubric's place"
)


class _Clash(Exception):  # noqa: N818 (no error: an answer)
    """Somebody else changed the node, or took it away (None)."""

    def __init__(self, node: Node | None) -> None:
        self.node = node


def apply(
    draft: Draft,
    changes: Iterable[Json],
    *,
    by: str,
    titles_taken: Collection[str] = (),
) -> tuple[Draft, list[dict[str, Any]]]:
    """The draft with the changes made, and what became of each, in their order.

    `by` is whom the changed nodes name; a title in `titles_taken` is refused. Raises
    Unreadable where a change is no object or has no id to answer by.
    """
    work = _Work(draft, by, titles_taken)
    results = []
    for change in changes:
        ident = id_of(change)
        results.append({"id": ident, **work.answer(ident, change)})
    return work.draft(), results


class _Work:
    """A draft being changed, beside the one it was before."""

    def __init__(self, draft: Draft, by: str, titles_taken: Collection[str]) -> None:
        self.before = draft
        self.version = draft.version
        self.nodes = dict(draft.nodes)
        self.order = {into: list(ids) for into, ids in draft.order.items()}
        self.kept = dict.fromkeys(draft.kept)
        self._by = by
        self._taken = titles_taken
        self._size = sum(_size(node.fields) for node in self.nodes.values())

    def draft(self) -> Draft:
        order = {into: tuple(ids) for into, ids in self.order.items()}
        kept = tuple(self.kept)[-MOST_REMEMBERED:]
        return Draft(self.version, self.nodes, order, kept)

    def answer(self, ident: str, change: dict[str, Json]) -> dict[str, Any]:
        acts = {
            "set": self._set,
            "add": self._add,
            "move": self._move,
            "remove": self._remove,
        }
        try:
            act = acts.get(text_of(change, "act"))
            if act is None:
                raise Refused("act must be one of set, add, move, remove")
            if ident in self.kept:
                return self._as_kept([text_of(change, "node")])
            touched = act(node_of(change, "node"), change)
        except Refused as refused:
            return {"status": "refused", "why": f"Not done: {refused}."}
        except _Clash as clash:
            theirs = clash.node and for_browser(clash.node.wire())
            return {"status": "clash", "node": theirs}
        self.kept[ident] = None
        return self._as_kept(touched)

    def _as_kept(self, touched: Iterable[str]) -> dict[str, Any]:
        nodes = [self.nodes[i] for i in dict.fromkeys(touched) if i in self.nodes]
        return {"status": "kept", "nodes": [for_browser(n.wire()) for n in nodes]}

    def _set(self, ident: str, change: dict[str, Json]) -> list[str]:
        node, base = self._known(ident), base_of(change, self.before.version)
        fields = self._fields(node, change)
        old = self.before.nodes.get(ident)
        new = {
            name: value
            for name, value in fields.items()
            if not _same(value, node.fields.get(name))
        }
        if old and any(old.changed.get(name, 0) > base for name in new):
            raise _Clash(node)
        if not new:
            return [ident]
        grown = _size(new) - _size({k: node.fields.get(k) for k in new})
        self._make_room(grown)
        self.version += 1
        self._put(node, new)
        if node.kind in ("element", "grid"):
            return [ident, *self._rename(node, self.nodes[ident])]
        return [ident]

    def _put(self, node: Node, new: dict[str, Json]) -> None:
        """Give the node new fields (null takes one away) in the version that now is."""
        fields = {**node.fields, **new}
        self.nodes[node.id] = replace(
            node,
            fields={name: value for name, value in fields.items() if value is not None},
            version=self.version,
            changed={**node.changed, **dict.fromkeys(new, self.version)},
            by=self._by,
        )

    def _rename(self, old: Node, new: Node) -> list[str]:
        """Let the rules know the part by its new keys; the rules that had to change."""
        others = [
            self.nodes[part]
            for section in self.order[SECTIONS]
            for part in self.order[section]
            if part != new.id
        ]
        rules = [self.nodes[rule] for rule in self.order[RULES]]
        self.nodes[new.id], changed = renamed(old, new, others, rules)
        for rule, fields in changed:
            self._put(rule, fields)
        return [rule.id for rule, _ in changed]

    def _add(self, ident: str, change: dict[str, Json]) -> list[str]:
        if ident in self.nodes:
            return [ident]
        into = text_of(change, "in")
        kind = KINDS_ADDED.get(text_of(change, "kind"))
        if kind is None:
            raise Refused(f"kind must be one of {', '.join(KINDS_ADDED)}")
        node = Node(ident, kind, {}, by=self._by)
        row = self._row(node, into)
        nodes = [node, *self._parts_of(node, change)]
        sent = [change, *change.get("parts", [])]
        filled = [
            replace(n, fields=_present(self._fields(n, s)))
            for n, s in zip(nodes, sent, strict=True)
        ]
        self._make_room(sum(_size(n.fields) for n in filled))
        for kind_of, most in MOST_NODES.items():
            here = sum(n.kind == kind_of for n in (*self.nodes.values(), *filled))
            if here > most:
                raise Refused(f"a rubric has at most {most} of the kind {kind_of}")
        self.version += 1
        _insert(row, ident, change.get("after"))
        if kind == "section":
            self.order[ident] = [n.id for n in filled[1:]]
        for n in filled:
            self.nodes[n.id] = replace(n, version=self.version)
        return [n.id for n in filled]

    def _parts_of(self, section: Node, change: dict[str, Json]) -> list[Node]:
        """The parts that come back with a section, still without their fields."""
        parts = change.get("parts", [])
        if not isinstance(parts, list) or (parts and section.kind != "section"):
            raise Refused("parts must be the list of a section's parts")
        nodes: list[Node] = []
        for part in parts:
            kind = part.get("kind") if isinstance(part, dict) else None
            if kind not in ("element", "grid"):
                raise Refused("each of parts must have the kind element or grid")
            ident = node_of(part, "id")
            if ident in (section.id, *self.nodes, *(n.id for n in nodes)):
                raise Refused(f"the id {ident} is in use")
            nodes.append(Node(ident, KINDS_ADDED[kind], {}, by=self._by))
        return nodes

    def _move(self, ident: str, change: dict[str, Json]) -> list[str]:
        node = self._known(ident)
        row = self._row(node, text_of(change, "in"))
        after = change.get("after")
        home = next(ids for ids in self.order.values() if ident in ids)
        if after == ident:
            return [ident]
        at = home.index(ident)
        before = home[at - 1] if at else None
        if home is row and after == before:
            return [ident]
        home.remove(ident)
        _insert(row, ident, after)
        self.version += 1
        if home is not row:
            # Whoever takes its new section away has to learn of it.
            self.nodes[ident] = replace(node, version=self.version, by=self._by)
        return [ident]

    def _remove(self, ident: str, change: dict[str, Json]) -> list[str]:
        base = base_of(change, self.before.version)
        if ident == SHEET:
            raise Refused("a rubric keeps its title and limits")
        if ident not in self.nodes:
            return []
        gone = [ident, *(self.order.get(ident, ()))]
        for i in gone:
            old = self.before.nodes.get(i)
            if old and old.version > base:
                raise _Clash(self.nodes[i])
        self.version += 1
        for ids in self.order.values():
            if ident in ids:
                ids.remove(ident)
        self.order.pop(ident, None)
        for i in gone:
            self._size -= _size(self.nodes.pop(i).fields)
        return []

    def _known(self, ident: str) -> Node:
        if ident not in self.nodes:
            raise _Clash(None)
        return self.nodes[ident]

    def _row(self, node: Node, into: str) -> list[str]:
        """The list in which such a node may stand."""
        if node.kind == "sheet":
            raise Refused("the sheet has one place")
        own = {"section": SECTIONS, "rule": RULES}.get(node.kind)
        if own:
            if into != own:
                raise Refused(f"in must be {own} for a {node.kind}")
            return self.order[own]
        section = self.nodes.get(into)
        if section is None or section.kind != "section":
            raise Refused(_GONE)
        return self.order[into]

    def _fields(self, node: Node, change: dict[str, Json]) -> dict[str, Json]:
        fields = fields_of(node.kind, change)
        title = fields.get("title") if node.kind == "sheet" else None
        if isinstance(title, str) and title.strip() in self._taken:
            raise Refused("another rubric of the course has this title")
        return fields

    def _make_room(self, grown: int) -> None:
        if grown > 0 and self._size + grown > LARGEST_DRAFT:
            raise Refused(f"a rubric has at most {LARGEST_DRAFT} characters")
        self._size += grown


def _insert(row: list[str], ident: str, after: Json) -> None:
    """Behind `after`; first where that is null, last where it is no longer there."""
    if after is None:
        row.insert(0, ident)
    elif after in row:
        row.insert(row.index(after) + 1, ident)
    else:
        row.append(ident)


def _present(fields: dict[str, Json]) -> dict[str, Json]:
    return {name: value for name, value in fields.items() if value is not None}


def _size(fields: Any) -> int:
    return len(dumps(fields))


def _same(one: Json, other: Json) -> bool:
    return dumps(one) == dumps(other)
