"""Fills a store with released sheets and times the way from there to the omission table.

    python -m tests.cost.million SHEETS    with BELLSIDE_DATABASE naming an empty store

Prints one JSON object: marks, seconds from the store, seconds from a file with the same
bytes and the same counts, and the peak memory of the process in MB.
"""

import json
import os
import resource
import statistics
import sys
import tempfile
from pathlib import Path
from random import Random
from time import perf_counter

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "accounts.site.settings")
django.setup()

import numpy as np  # noqa: E402 (needs the settings)

from accounts.models import User  # noqa: E402
from grading.cohort import Chosen, credits_of, read_groups  # noqa: E402
from grading.models import Assignment, Marking, Release, Submission  # noqa: E402
from grading.statistics.omissions import omissions  # noqa: E402
from grading.statistics.states import to_array  # noqa: E402
from tests import factories  # noqa: E402

CARDIOVASCULAR = factories.PULSE_CHECK.with_name("cardiovascular.yaml")
ALL = Chosen(attempt="all")


def fill(sheets):
    """One assignment with so many released sheets; only what the figures read is real."""
    course = factories.CourseFactory()
    text = CARDIOVASCULAR.read_text(encoding="utf-8")
    assignment = factories.AssignmentFactory(
        cohort=factories.CohortFactory(course=course),
        edition=factories.edition_of(course, text),
    )
    draw = Random(1)  # noqa: S311 (no secret)
    elements = assignment.edition.definition.elements
    levels = [i for i, element in enumerate(elements) if element.levels]
    students = User.objects.bulk_create(
        [User(email=f"{n}@cost.example", name=f"Student {n}") for n in range(sheets)],
        batch_size=2000,
    )
    submissions = Submission.objects.bulk_create(
        [
            Submission(assignment=assignment, student=s, attempt=1, number=n)
            for n, s in enumerate(students)
        ],
        batch_size=2000,
    )
    markings = Marking.objects.bulk_create(
        [Marking(submission=s, marker=students[0], closed=True) for s in submissions],
        batch_size=2000,
    )

    def states():
        row = bytearray(draw.choices(range(1, 7), (80, 5, 4, 8, 2, 1), k=len(elements)))
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
                attempt=1,
                states=states(),
                moments=bytes(4 * len(elements)),
                outcome="pass",
                percent_shown="80.0",
                released_by=students[0],
            )
            for marking in markings
        ],
        batch_size=500,
    )
    return Assignment.objects.select_related("edition", "cohort").get(pk=assignment.pk)


def from_store(assignment):
    (group,) = read_groups([assignment], ALL)
    return group.omissions(ALL)


def from_file(path, assignment):
    elements = len(assignment.edition.definition.elements)
    states = np.fromfile(path, dtype=np.uint8).reshape(-1, elements)
    return omissions(states, credits_of(assignment.edition.definition))


def seconds(act, times=7):
    found = []
    for _ in range(times):
        begun = perf_counter()
        act()
        found.append(perf_counter() - begun)
    return statistics.median(found)


def main():
    sheets = int(sys.argv[1])
    assignment = fill(sheets)
    elements = len(assignment.edition.definition.elements)
    (group,) = read_groups([assignment], ALL)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "states"
        to_array([row.states for row in group.rows], elements).tofile(path)
        file = seconds(lambda: from_file(path, assignment))
        same = from_file(path, assignment).omitted.tolist()
    store = seconds(lambda: from_store(assignment))
    assert from_store(assignment).omitted.tolist() == same
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(  # noqa: T201 (read by the test)
        json.dumps(
            {"marks": sheets * elements, "store": store, "file": file, "peak": peak}
        )
    )


if __name__ == "__main__":
    main()
