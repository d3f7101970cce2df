"""The other releases of one student in one assignment: attempts and corrections."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from grading.exports.feedback_words import OUTCOMES
from grading.models import Release
from grading.scoring import Mark, credit_of
from grading.scoring.wording import state_in_words
from grading.statistics.states import unpack
from rubric.definition import Definition, State


@dataclass(frozen=True)
class Correction:
    """What this release changed in the one before it."""

    before: Release
    outcome: str
    changes: tuple[tuple[str, str, str], ...]


def kin_of(releases: Iterable[Release]) -> dict[tuple[int, int], list[Release]]:
    """By assignment and student: every release beside these, in one query."""
    releases = list(releases)
    found: dict[tuple[int, int], list[Release]] = defaultdict(list)
    beside = Release.objects.filter(
        assignment__in={release.assignment_id for release in releases},
        submission__student__in={r.submission.student_id for r in releases},
    )
    for release in beside.select_related("submission").only(
        "assignment",
        "submission__student",
        "edition",
        "attempt",
        "states",
        "outcome",
        "percent_shown",
        "corrects",
        "reason",
        "released_at",
    ):
        found[kinship(release)].append(release)
    return found


def kinship(release: Release) -> tuple[int, int]:
    """Under which `kin_of` keeps a release."""
    return release.assignment_id, release.submission.student_id


def omitted_before(
    definition: Definition, release: Release, kin: Sequence[Release]
) -> set[str]:
    """What the last attempt before this one left out, by the same edition."""
    replaced = {other.corrects_id for other in kin}
    earlier = [
        other
        for other in kin
        if other.attempt < release.attempt
        and other.edition_id == release.edition_id
        and other.pk not in replaced
    ]
    if not earlier:
        return set()
    last = max(earlier, key=lambda other: other.attempt)
    return {
        mark.element
        for mark in _unpacked(definition, last)
        if credit_of(definition, mark) == 0
    }


def _unpacked(definition: Definition, release: Release) -> list[Mark]:
    return [
        Mark(element.key, State(state), level=level)
        for element, (state, level) in zip(
            definition.elements, unpack(bytes(release.states)), strict=True
        )
    ]


def correction_by(
    definition: Definition, release: Release, kin: Sequence[Release]
) -> Correction | None:
    """None where the release corrects nothing."""
    before = next((r for r in kin if r.pk == release.corrects_id), None)
    if before is None:
        return None
    pairs = zip(
        definition.elements,
        _unpacked(definition, before),
        _unpacked(definition, release),
        strict=True,
    )
    return Correction(
        before=before,
        outcome=OUTCOMES[before.outcome],
        changes=tuple(
            (element.text, state_in_words(element, old), state_in_words(element, new))
            for element, old, new in pairs
            if old != new
        ),
    )
