from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry
from grading.models import Assignment
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    edition_of,
)


def stamp(days):
    return (timezone.now() + timedelta(days=days)).strftime("%Y-%m-%dT%H:%M")


@pytest.fixture
def data(course, instructor):
    return {
        "title": "Pulse check",
        "edition": edition_of(course).pk,
        "purpose": "formative",
        "opens_at": stamp(0),
        "due_at": stamp(7),
        "return_at": stamp(14),
        "attempts": 2,
        "late": "shown",
        "names_hidden": "on",
        "hazards_confirmed_by": "second",
        "markers": [instructor.pk],
    }


def post(client, cohort, data):
    return client.post(reverse("grading:assignment_new", args=[cohort.pk]), data)


def test_a_lead_sets_an_edition_for_a_cohort(client_of, lead, cohort, data, instructor):
    response = post(client_of(lead), cohort, data)
    assignment = Assignment.objects.get()
    assert response.url == assignment.get_absolute_url()
    assert list(assignment.markers.all()) == [instructor]
    assert assignment.hazards_confirmed_by == "second"
    assert AuditEntry.objects.filter(verb="set assignment", actor=lead).exists()


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("due_at", stamp(-1), "after the opening"),
        ("return_at", stamp(1), "cannot be returned before"),
        ("attempts", 0, "1 to 10"),
        ("attempts", 11, "1 to 10"),
        ("markers", [], "required"),
        ("title", "", "required"),
    ],
)
def test_a_wrong_field_is_named_and_nothing_is_set(
    client_of, lead, cohort, data, field, value, words
):
    response = post(client_of(lead), cohort, data | {field: value})
    assert response.status_code == 422
    assert words in response.content.decode()
    assert not Assignment.objects.exists()


def test_only_editions_and_markers_of_the_course_can_be_chosen(
    client_of, lead, cohort, data, other_course, other_instructor
):
    foreign = {"edition": edition_of(other_course).pk, "markers": [other_instructor.pk]}
    assert post(client_of(lead), cohort, data | foreign).status_code == 422
    assert not Assignment.objects.exists()


def test_an_assignments_page_names_students_to_the_lead_alone(
    client_of, lead, instructor, cohort
):
    assignment = AssignmentFactory(cohort=cohort, markers=[instructor])
    marking = MarkingFactory(
        submission=SubmissionFactory(assignment=assignment), marker=instructor
    )
    name = marking.submission.student.name
    assert name in client_of(lead).get(assignment.get_absolute_url()).content.decode()
    page = client_of(instructor).get(assignment.get_absolute_url()).content.decode()
    assert name not in page
    assert str(marking.submission) in page


def test_the_page_asks_no_more_often_for_thirty_rows(
    client_of, lead, cohort, django_assert_num_queries, django_assert_max_num_queries
):
    assignment = AssignmentFactory(cohort=cohort)
    client = client_of(lead)

    def rows(n):
        for _ in range(n):
            MarkingFactory(submission=SubmissionFactory(assignment=assignment))

    rows(1)
    client.get(assignment.get_absolute_url())
    with django_assert_max_num_queries(20) as few:
        client.get(assignment.get_absolute_url())
    count = len(few)
    rows(29)
    with django_assert_num_queries(count):
        client.get(assignment.get_absolute_url())
