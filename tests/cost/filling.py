"""Fills a store with released sheets; only what the figures read is real."""

from random import Random

from accounts.models import User
from grading.models import Marking, Release, Submission

STATES = range(1, 7)
USUAL = (80, 5, 4, 8, 2, 1)


def fill(assignment, students, attempts=1, markers=(), first=0):
    """Bulk rows: `students` from number `first` on, each with so many attempts.

    Without `markers` the first student stands in for one.
    """
    draw = Random(first + 1)  # noqa: S311 (no secret)
    elements = assignment.edition.definition.elements
    levels = [i for i, element in enumerate(elements) if element.levels]
    people = User.objects.bulk_create(
        [
            User(email=f"{n}@cost.example", name=f"Student {n}")
            for n in range(first, first + students)
        ],
        batch_size=2000,
    )
    markers = list(markers) or people[:1]
    submissions = Submission.objects.bulk_create(
        [
            Submission(
                assignment=assignment,
                student=person,
                attempt=attempt,
                number=(first + n) * attempts + attempt,
            )
            for n, person in enumerate(people)
            for attempt in range(1, attempts + 1)
        ],
        batch_size=2000,
    )
    markings = Marking.objects.bulk_create(
        [
            Marking(submission=s, marker=markers[n % len(markers)], closed=True)
            for n, s in enumerate(submissions)
        ],
        batch_size=2000,
    )

    def states():
        row = bytearray(draw.choices(STATES, USUAL, k=len(elements)))
        for i in levels:
            row[i] = 17
        return bytes(row)

    Release.objects.bulk_create(
        [
            Release(
                submission=marking.submission,
                assignment=assignment,
                edition=assignment.edition,
                marking=marking,
                attempt=marking.submission.attempt,
                states=states(),
                moments=bytes(4 * len(elements)),
                outcome="pass",
                percent_shown="80.0",
                released_by=markers[0],
            )
            for marking in markings
        ],
        batch_size=500,
    )
