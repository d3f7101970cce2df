"""Share left out by section in the newest cohorts of one rubric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grading.cohort import Chosen, Group
from grading.lineage import places_of, shared_tokens
from grading.pictures.strip import Strip, strip
from rubric.definition import Element
from rubric.models import Edition


@dataclass(frozen=True)
class SectionStrip:
    """`rows` say each section's cells in words, a (cohort, words) pair each. `left_out`
    are the elements that do not mean the same in every edition shown.
    """

    picture: Strip
    cohorts: tuple[str, ...]
    rows: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    left_out: tuple[Element, ...]


def section_strip(
    edition: Edition, groups: Sequence[Group], chosen: Chosen
) -> SectionStrip:
    """The sections of this edition over the groups, each a column.

    Every column counts the same elements: those that mean the same in all the editions
    shown. A group too small for rates shows counts, one smaller yet nothing.
    """
    groups = [group for group in groups if group.rows]
    shared = shared_tokens([edition, *(g.assignment.edition for g in groups)])
    tokens = edition.tokens()
    columns = [_counts(group, edition, shared, chosen) for group in groups]
    sections = edition.definition.sections
    rates: list[list[float | None]] = []
    texts: list[list[str]] = []
    for i in range(len(sections)):
        cells = [
            (group, *column[i]) for group, column in zip(groups, columns, strict=True)
        ]
        rates.append(
            [None if g.is_small or not n else omitted / n for g, omitted, n in cells]
        )
        texts.append([_words(g, omitted, n) for g, omitted, n in cells])
    names = [str(group.assignment.cohort) for group in groups]
    titles = [section.title for section in sections]
    whole = [str(group.assignment) for group in groups]
    return SectionStrip(
        strip(titles, names, rates, texts),
        tuple(whole),
        tuple(
            (title, tuple(zip(whole, words, strict=True)))
            for title, words in zip(titles, texts, strict=True)
        ),
        tuple(
            element
            for element in edition.definition.elements
            if tokens[element.key] not in shared
        ),
    )


def _counts(
    group: Group, edition: Edition, shared: set[str], chosen: Chosen
) -> list[tuple[int, int]]:
    """(left out, judged) marks of each section; (0, 0) where it has none to compare."""
    found = group.omissions(chosen)
    theirs, tokens = places_of(group.assignment.edition), edition.tokens()
    counts = []
    for section in edition.definition.sections:
        places = [
            theirs[token]
            for e in section.elements
            if (token := tokens[e.key]) in shared
        ]
        counts.append(
            (int(found.omitted[places].sum()), int(found.judged[places].sum()))
        )
    return counts


def _words(group: Group, omitted: int, judged: int) -> str:
    if not judged or group.is_hidden:
        return "–"
    return f"{omitted} of {judged}" if group.is_small else f"{omitted / judged:.0%}"
