"""Added elements, and which of those that are gone they may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from rubric.definition.compare import Comparison, Group, Tokens
from rubric.definition.values import Element

MOST_CANDIDATES = 8


@dataclass(frozen=True)
class Candidate:
    """Elements that are gone, with which added ones may be the same.

    `tokens` by the keys of the added ones; `edition` where they went before the last.
    """

    name: str
    section: str
    tokens: Mapping[str, str]
    is_identical: bool
    edition: int | None = None

    @property
    def value(self) -> str:
        """What names it in a form: the first of its tokens."""
        return next(iter(self.tokens.values()))


@dataclass(frozen=True)
class Newcomer:
    """Added elements, with those they may be the same as; the likeliest first."""

    key: str
    name: str
    section: str
    elements: tuple[str, ...]
    candidates: tuple[Candidate, ...]

    @property
    def proposal(self) -> str:
        """The candidate that says just the same, or none ("")."""
        first = self.candidates[:1]
        return first[0].value if first and first[0].is_identical else ""


def newcomers(
    comparison: Comparison, was: Tokens, earlier: Mapping[str, tuple[int, Element]]
) -> tuple[Newcomer, ...]:
    """Every added element that may be one that is gone, each with the likeliest of them.

    `was` are the tokens of the edition before; `earlier` gives by token the edition in
    which an element last stood, of those that left before it.
    """
    gone = [part for group in comparison.removed for part in _by_site(group)]
    found = []
    come = [part for group in comparison.added for part in _by_site(group)]
    for group, added in come:
        candidates = [
            *_of_earlier(added, earlier),
            *filter(
                None, (_candidate(added, old, home.section, was) for home, old in gone)
            ),
        ]
        if candidates:
            words = {id(c): _likeness(added[0].text, c.name) for c in candidates}
            candidates.sort(key=lambda c: (not c.is_identical, -words[id(c)]))
            found.append(
                Newcomer(
                    added[0].key,
                    _name(added),
                    group.section,
                    tuple(element.key for element in added),
                    tuple(candidates[:MOST_CANDIDATES]),
                )
            )
    return tuple(found)


def _by_site(group: Group) -> Iterator[tuple[Group, tuple[Element, ...]]]:
    """A grid's elements site by site: one of its sites may have another name now."""
    for _, elements in groupby(group.elements, lambda element: element.site):
        yield group, tuple(elements)


def _candidate(
    added: tuple[Element, ...], gone: tuple[Element, ...], section: str, was: Tokens
) -> Candidate | None:
    """None where no element of the one answers to one of the other."""
    pairs = _cells(added, gone)
    if not pairs:
        return None
    return Candidate(
        _name(gone),
        section,
        {new.key: was.get(old.key, old.key) for new, old in pairs},
        len(pairs) == len(added)
        and all(_says(new) == _says(old) for new, old in pairs),
    )


def _cells(
    added: tuple[Element, ...], gone: tuple[Element, ...]
) -> list[tuple[Element, Element]]:
    """Cells of one side and instrument; a site's own name may be what changed."""
    if len(added) == len(gone) == 1:
        return [(added[0], gone[0])]
    old = {(element.side, element.instrument): element for element in gone}
    return [
        (element, old[element.side, element.instrument])
        for element in added
        if (element.side, element.instrument) in old
    ]


def _of_earlier(
    added: tuple[Element, ...], earlier: Mapping[str, tuple[int, Element]]
) -> Iterator[Candidate]:
    """The same keys, where they stood before the last edition."""
    stood = {
        element: earlier[element.key] for element in added if element.key in earlier
    }
    if stood:
        edition = max(number for number, _ in stood.values())
        yield Candidate(
            _name(tuple(element for _, element in stood.values())),
            "",
            {element.key: element.key for element in stood},
            len(stood) == len(added)
            and all(_says(new) == _says(old) for new, (_, old) in stood.items()),
            edition,
        )


def _says(element: Element) -> tuple[object, ...]:
    """All of an element that has meaning, but its key and what it weighs."""
    return (
        element.text,
        element.expects,
        element.technique,
        element.levels,
        element.credit,
        element.site,
        element.side,
        element.instrument,
    )


def _likeness(one: str, other: str) -> float:
    """Share of the words that both have, 0 to 1; cheap enough for 90 against 90."""
    a, b = set(one.lower().split()), set(other.lower().split())
    return len(a & b) / max(1, len(a | b))


def _name(elements: tuple[Element, ...]) -> str:
    first, *rest = elements
    return f"{first.text} and {len(rest)} more" if rest else first.text
