import csv
import io

import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from tests.factories import (
    AssignmentFactory,
    CohortFactory,
    MarkingFactory,
    SubmissionFactory,
    released,
)

HYGIENE = "opening.hygiene"


@pytest.fixture
def assignment(cohort, instructor):
    return AssignmentFactory(cohort=cohort, markers=[instructor])


@pytest.fixture
def spring(course, assignment):
    """The same edition in another cohort of the course."""
    cohort = CohortFactory(course=course, title="Spring, section A")
    return AssignmentFactory(cohort=cohort, edition=assignment.edition)


def release_many(assignment, marker, n, left_out, state="missed", attempt=1):
    releases = []
    for i in range(n):
        submission = SubmissionFactory(assignment=assignment, attempt=attempt)
        marking = MarkingFactory(submission=submission, marker=marker)
        releases.append(released(marking, **({HYGIENE: state} if i < left_out else {})))
    return releases


def page(client, of, **query):
    address = reverse("grading:cohort", args=[of.cohort_id])
    return " ".join(client.get(address, query).content.decode().split())


def table(client, assignment, **query):
    address = reverse("grading:cohort_csv", args=[assignment.cohort_id])
    response = client.get(address, query)
    text = b"".join(response.streaming_content).decode()
    return {row["element"]: row for row in csv.DictReader(io.StringIO(text))}


def test_the_rate_carries_wilsons_interval(client_of, lead, instructor, assignment):
    # Newcombe RG (1998) Stat Med 17:857-872, Table I, method 3: 0 of 20 gives 0 to
    # 0.1611 (Wilson score, 95%).
    release_many(assignment, instructor, 20, 0)
    row = table(client_of(lead), assignment)[HYGIENE]
    assert (row["omitted"], row["judged"], row["rate"]) == ("0", "20", "0.0")
    assert row["low"] == "0.0"
    assert round(float(row["high"]), 4) == 0.1611


def test_the_page_says_the_finding_and_sorts_by_rate(
    client_of, lead, instructor, assignment
):
    release_many(assignment, instructor, 10, 4)
    text = page(client_of(lead), assignment)
    assert (
        "10 students, first attempts. “Cleans hands in view” was left out by 40%"
        in text
    )
    first_row = text[text.index("<tbody>") :]
    assert first_row.index("Cleans hands") < first_row.index("Asks permission")


def test_said_only_is_counted_apart_from_missed(
    client_of, lead, instructor, assignment
):
    release_many(assignment, instructor, 10, 3, state="said")
    assert "3 said only" in page(client_of(lead), assignment)
    assert table(client_of(lead), assignment)[HYGIENE]["omitted"] == "3"
    by_missed = table(client_of(lead), assignment, count="missed")
    assert by_missed[HYGIENE]["omitted"] == "0"


def test_saying_that_earns_full_credit_is_no_omission(
    client_of, lead, instructor, assignment
):
    for _ in range(10):
        marking = MarkingFactory(
            submission=SubmissionFactory(assignment=assignment), marker=instructor
        )
        released(marking, **{"opening.consent": "said"})
    assert table(client_of(lead), assignment)["opening.consent"]["omitted"] == "0"
    by_state = table(client_of(lead), assignment, count="missed,said")
    assert by_state["opening.consent"]["omitted"] == "10"


def test_two_cohorts_are_compared_with_newcombes_interval(
    client_of, lead, instructor, assignment, spring
):
    # Newcombe RG (1998) Stat Med 17:873-890, Table II, method 10: 9/10 against 3/10
    # gives a difference of 0.6 with limits 0.1705 and 0.8090.
    release_many(assignment, instructor, 10, 9)
    release_many(spring, instructor, 10, 3)
    row = table(client_of(lead), assignment, against=spring.pk)[HYGIENE]
    assert round(float(row["difference"]), 4) == 0.6
    assert round(float(row["difference_low"]), 4) == 0.1705
    assert round(float(row["difference_high"]), 4) == 0.8090
    assert "up 60 points on Spring, section A" in page(
        client_of(lead), assignment, against=spring.pk
    )


def test_a_small_group_shows_counts_only(client_of, lead, instructor, assignment):
    release_many(assignment, instructor, 9, 4)
    text = page(client_of(lead), assignment)
    assert "counts only" in text
    assert "4 of 9" in text
    assert "44%" not in text
    assert table(client_of(lead), assignment)[HYGIENE]["rate"] == ""


def test_a_marker_filter_that_leaves_few_others_shows_counts_only(
    client_of, lead, instructor, assignment
):
    assignment.markers.add(lead)
    release_many(assignment, instructor, 12, 3)
    release_many(assignment, lead, 3, 1)
    query = {"marker": instructor.pk, "assignment": assignment.pk}
    assert "counts only" in page(client_of(lead), assignment, **query)
    assert "counts only" not in page(client_of(lead), assignment)


def test_first_last_and_all_attempts(client_of, lead, instructor, cohort):
    assignment = AssignmentFactory(cohort=cohort, attempts=2)
    for first in release_many(assignment, instructor, 10, 10):
        again = SubmissionFactory(
            assignment=assignment, student=first.submission.student, attempt=2
        )
        released(MarkingFactory(submission=again, marker=instructor))
    found = {
        attempt: table(client_of(lead), assignment, attempt=attempt)[HYGIENE]
        for attempt in ("first", "last", "all")
    }
    assert {k: (r["omitted"], r["judged"]) for k, r in found.items()} == {
        "first": ("10", "10"),
        "last": ("0", "10"),
        "all": ("10", "20"),
    }


def test_only_the_current_release_counts(client_of, lead, instructor, assignment):
    from grading.models import Release
    from tests.factories import change

    release = release_many(assignment, instructor, 10, 1)[0]
    marking = release.marking
    marking.reopen(by=instructor, reason="Seen again")
    marking.record(
        [change(marking, f"element:{HYGIENE}", {"state": "done", "at": 1})],
        by=instructor,
    )
    Release.of_marking(marking, by=instructor, reason="Seen again")
    assert table(client_of(lead), assignment)[HYGIENE]["omitted"] == "0"


def test_an_elements_page_names_the_students_and_the_moments(
    client_of, lead, instructor, assignment
):
    release = release_many(assignment, instructor, 10, 1)[0]
    address = reverse("grading:cohort_element", args=[assignment.cohort_id, HYGIENE])
    text = client_of(lead).get(address).content.decode()
    body = text[text.index("<tbody>") :]
    assert body.index(release.submission.student.name) < body.index("done")
    assert f"{release.get_absolute_url()}#{HYGIENE}" in text
    assert "0:01" in text
    assert AuditEntry.objects.filter(verb="saw", actor=lead).exists()


@pytest.mark.parametrize(
    "query",
    [{"attempt": "second"}, {"section": "none"}, {"marker": "x"}, {"against": "999"},
     {"count": "done"}, {"assignment": "abc"}],
)  # fmt: skip
def test_a_wrong_filter_is_said_on_the_page(
    client_of, lead, instructor, assignment, query
):
    release_many(assignment, instructor, 1, 0)
    address = reverse("grading:cohort", args=[assignment.cohort_id])
    response = client_of(lead).get(address, query)
    assert response.status_code == 200
    assert 'class="error"' in response.content.decode() or "notice error" in (
        response.content.decode()
    )


def test_cells_that_a_spreadsheet_would_run_are_guarded():
    from grading.exports.tables import csv_text

    text = csv_text(["a"], [["=1+1"], ["+1"], ["-1"], ["@x"], ["\t=1"], [-1]])
    assert text.split("\r\n")[1:7] == ["'=1+1", "'+1", "'-1", "'@x", "'\t=1", "-1"]


def test_the_page_asks_no_more_often_for_thirty_releases(
    client_of,
    lead,
    instructor,
    assignment,
    django_assert_num_queries,
    django_assert_max_num_queries,
):
    client = client_of(lead)
    release_many(assignment, instructor, 1, 0)
    page(client, assignment)
    with django_assert_max_num_queries(25) as few:
        page(client, assignment)
    count = len(few)
    release_many(assignment, instructor, 29, 5)
    with django_assert_num_queries(count):
        page(client, assignment)
