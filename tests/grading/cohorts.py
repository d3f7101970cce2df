"""Cohorts in the store, a release a line, and their pages as a lead reads them."""

import csv
import io

from django.urls import reverse

from grading.models import Release
from grading.statistics.states import pack, pack_moments
from tests.factories import MarkingFactory, SubmissionFactory

HYGIENE = "opening.hygiene"


def release(assignment, marker, student=None, attempt=1, **states):
    """A released sheet, every element done but those named (dots as `__`)."""
    whose = {"student": student} if student else {}
    submission = SubmissionFactory(assignment=assignment, attempt=attempt, **whose)
    marking = MarkingFactory(submission=submission, marker=marker, closed=True)
    elements = assignment.edition.definition.elements
    given = {key.replace("__", "."): state for key, state in states.items()}
    row = [
        ("level", len(element.levels))
        if element.levels
        else (given.get(element.key, "done"), None)
        for element in elements
    ]
    return Release.objects.create(
        submission=submission,
        assignment=assignment,
        edition=assignment.edition,
        marking=marking,
        attempt=attempt,
        states=pack(row),
        moments=pack_moments([None] * len(elements)),
        outcome="pass",
        percent_shown="80.0",
        released_by=marker,
    )


def release_many(assignment, marker, n, left_out=0, state="missed", **options):
    """n students, the first `left_out` of whom left out cleaning their hands."""
    return [
        release(
            assignment,
            marker,
            **options,
            **({"opening__hygiene": state} if i < left_out else {}),
        )
        for i in range(n)
    ]


def page(client, name, cohort, **query):
    """A page's text on one line."""
    address = reverse(f"grading:{name}", args=[cohort.pk])
    response = client.get(address, query)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def file(client, name, cohort, **query):
    """A CSV file's text."""
    response = client.get(reverse(f"grading:{name}", args=[cohort.pk]), query)
    assert response.status_code == 200
    return b"".join(response.streaming_content).decode()


def table(client, name, cohort, **query):
    """A CSV file's rows."""
    return list(csv.DictReader(io.StringIO(file(client, name, cohort, **query))))


def row_of(client, name, cohort, element=HYGIENE, **query):
    """One element's row of a CSV file."""
    rows = table(client, name, cohort, **query)
    return next(row for row in rows if row["element"] == element)
