"""Where each assignment of a lead stands: handed in, marked, released, in time, left out."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F

from accounts.models import Membership
from grading.models import Assignment, Marking, Release, Submission
from grading.statistics.states import to_array
from rubric.definition import Definition, Element
from rubric.models import definition_of

WORST = 3


@dataclass(frozen=True)
class Standing:
    assignment: Assignment
    students: int
    handed_in: int
    marked: int
    released: int
    in_time: int
    worst: tuple[tuple[Element, int, int], ...]


def standing(assignments: Iterable[Assignment]) -> list[Standing]:
    """One line an assignment, from five queries however many there are.

    `handed_in` counts students, `marked`, `released` and `in_time` recordings. `worst`
    holds up to three (element, left out, judged), only from ten students on.
    """
    assignments = list(assignments)
    students = Counter(
        Membership.objects.filter(
            role="student", cohort__in={a.cohort_id for a in assignments}
        ).values_list("cohort", flat=True)
    )
    handed_in = Counter(
        assignment
        for assignment, _ in Submission.objects.filter(assignment__in=assignments)
        .order_by()
        .values_list("assignment", "student")
        .distinct()
    )
    marked: Counter[int] = Counter()
    elements = {a.pk: len(definition_of(a.edition).elements) for a in assignments}
    for assignment, count, closed in Marking.objects.filter(
        submission__assignment__in=assignments
    ).values_list("submission__assignment", "marked", "closed"):
        marked[assignment] += closed or count == elements[assignment]
    released: Counter[int] = Counter()
    in_time: Counter[int] = Counter()
    # First attempts, as the cohort page shows them: the two must not be subtractable.
    states: dict[int, dict[int, bytes]] = defaultdict(dict)
    for assignment, student, packed, at, first_at, due_back in (
        Release.objects.current()
        .filter(assignment__in=assignments)
        .order_by("attempt")
        .values_list(
            "assignment",
            "submission__student",
            "states",
            "released_at",
            F("corrects__released_at"),
            "assignment__return_at",
        )
    ):
        released[assignment] += 1
        in_time[assignment] += (first_at or at) <= due_back
        states[assignment].setdefault(student, bytes(packed))
    return [
        Standing(
            a,
            students[a.cohort_id],
            handed_in[a.pk],
            marked[a.pk],
            released[a.pk],
            in_time[a.pk],
            worst_omissions(definition_of(a.edition), list(states[a.pk].values())),
        )
        for a in assignments
    ]


def worst_omissions(
    definition: Definition, rows: list[bytes]
) -> tuple[tuple[Element, int, int], ...]:
    """The elements most often left out, as (element, left out, judged)."""
    from grading.cohort import credits_of
    from grading.disclosure import FEWEST
    from grading.statistics.omissions import omissions

    if len(rows) < FEWEST:
        return ()
    found = omissions(to_array(rows, len(definition.elements)), credits_of(definition))
    order = sorted(
        range(len(definition.elements)),
        key=lambda i: -(found.rate[i] if found.judged[i] else -1.0),
    )
    return tuple(
        (definition.elements[i], int(found.omitted[i]), int(found.judged[i]))
        for i in order[:WORST]
        if found.omitted[i]
    )
