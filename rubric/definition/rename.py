"""New keys for a part: the rules that named it go on naming the same elements."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from rubric.definition.cells import Names, axes_of, cells_of, elements_of, key_of
from rubric.definition.draft import Node
from rubric.definition.exact import Json
from rubric.definition.keys import is_key

_SELECTORS = ("of", "first", "then")


def renamed(
    old: Node, new: Node, others: Sequence[Node], rules: Iterable[Node]
) -> tuple[Node, list[tuple[Node, dict[str, Json]]]]:
    """The part as rules know it from now on, and the rules whose selectors change, each
    with its new fields.

    While its key is none, or one that another part has, rules keep the last that was.
    """
    key, known = key_of(new), old.named or key_of(old)
    theirs = [name for other in others for name in (key_of(other), *elements_of(other))]
    if key != key_of(old) or old.named:
        taken = not {key, *elements_of(new)}.isdisjoint(theirs)
        if taken or not is_key(key):
            return replace(new, named=known), []
        new = replace(new, named="")
    was = replace(old, fields={**old.fields, "key": known})
    keys = {before: after for before, after in _moved(was, new) if before != after}
    if not known or known in theirs or (not keys and known == key):
        return new, []
    rewrite = _Rewrite(
        known, key, keys, [*theirs, *elements_of(was)], [*theirs, *elements_of(new)]
    )
    changed = []
    for rule in rules:
        fields = {
            name: rewrite.list_of(rule.fields[name])
            for name in _SELECTORS
            if isinstance(rule.fields.get(name), list)
        }
        fields = {k: v for k, v in fields.items() if v != rule.fields[k]}
        if fields:
            changed.append((rule, fields))
    return new, changed


class _Rewrite:
    """Lists of selectors, before and after a part's keys changed.

    `keys` are elements' new keys by the old. What a selector holds is asked only of the
    elements that were there: cells that came with the change belong to no list yet.
    """

    def __init__(
        self,
        known: str,
        key: str,
        keys: dict[str, str],
        before: list[str],
        after: list[str],
    ) -> None:
        self._known, self._key = known, key
        there = set(after)
        self._now = {k: keys.get(k, k) for k in before if keys.get(k, k) in there}
        self._before = dict.fromkeys(before)
        self._touched = (*keys, *keys.values())

    def list_of(self, patterns: list[Json]) -> list[Json]:
        """The selectors that hold the same elements under their new keys."""
        texts = [pattern for pattern in patterns if isinstance(pattern, str)]
        wanted = {now for old, now in self._now.items() if _holds(texts, old)}
        found: list[Json] = []
        for pattern in patterns:
            new = [pattern]
            if isinstance(pattern, str):
                new = list(self._pattern(pattern, wanted))
            found += [p for p in new if p == pattern or p not in (*found, *patterns)]
        # A key that comes to where a beginning holds it needs no naming.
        starts = [p for p in found if isinstance(p, str) and p.endswith(".*")]
        return [
            p
            for p in found
            if p in patterns
            or p in starts
            or not (isinstance(p, str) and _holds(starts, p))
        ]

    def _pattern(self, pattern: str, wanted: set[str]) -> Iterator[str]:
        if not pattern.endswith(".*"):
            known = self._now.get(pattern)
            yield known or (pattern if pattern in self._before else self._text(pattern))
        elif any(_holds([pattern], key) for key in self._touched):
            yield from self._beginning(pattern, wanted)
        elif any(_holds([pattern], key) for key in self._before):
            yield pattern
        else:
            yield self._text(pattern)

    def _beginning(self, pattern: str, wanted: set[str]) -> Iterator[str]:
        own = [now for old, now in self._now.items() if _holds([pattern], old)]
        for candidate in (pattern, *self._candidates(pattern, own)):
            held = {now for now in self._now.values() if _holds([candidate], now)}
            if held and held <= wanted and (candidate == pattern or held >= set(own)):
                yield candidate
                own = [key for key in own if key not in held]
                break
        yield from own

    def _candidates(self, pattern: str, own: list[str]) -> list[str]:
        """Beginnings of the first new key, those as deep as the old one first."""
        parts = own[0].split(".") if own else []
        depth = pattern.count(".") + self._key.count(".") - self._known.count(".")
        depths = sorted(range(1, len(parts)), key=lambda n: abs(n - depth))
        return [".".join((*parts[:n], "*")) for n in depths]

    def _text(self, pattern: str) -> str:
        """A selector that names the part, though no element."""
        rest = pattern.removeprefix(self._known)
        if rest != pattern and rest[:1] in ("", "."):
            return self._key + rest
        return pattern


def _holds(patterns: Iterable[str], key: str) -> bool:
    """Whether any of the selectors matches the element's key."""
    return any(
        key.startswith(p[:-1]) if p.endswith(".*") else key == p for p in patterns
    )


def _moved(old: Node, new: Node) -> Iterator[tuple[str, str]]:
    """The key of each element before and after.

    A grid's cell is the same where its names are, or where one name is all that differs.
    """
    if old.kind == "element":
        yield key_of(old), key_of(new)
        return
    one, other = axes_of(old), axes_of(new)
    cells = list(zip(cells_of(one), cells_of(other), strict=False))
    if not _is_one_name_changed(one, other):
        there = set(cells_of(other))
        cells = [(cell, cell) for cell in cells_of(one) if cell in there]
    for before, after in cells:
        yield ".".join((key_of(old), *before)), ".".join((key_of(new), *after))


def _is_one_name_changed(one: list[Names], other: list[Names]) -> bool:
    if [len(names) for names in one] != [len(names) for names in other]:
        return False
    differ = [
        (a, b, names)
        for names, others in zip(one, other, strict=True)
        for a, b in zip(names, others, strict=True)
        if a != b
    ]
    return len(differ) == 1 and differ[0][1] not in differ[0][2]
