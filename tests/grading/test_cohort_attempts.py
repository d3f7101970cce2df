"""The same students on their first and on their second attempt."""

import pytest

from tests.factories import AssignmentFactory, CohortFactory
from tests.grading.cohorts import HYGIENE, page, release, row_of, table


@pytest.fixture
def assignment(cohort, instructor):
    return AssignmentFactory(cohort=cohort, markers=[instructor], attempts=2)


def twice(assignment, marker, *pairs):
    """Students by what they did with their hands, first and second time."""
    for first, second in pairs:
        one = release(assignment, marker, opening__hygiene=first)
        release(
            assignment,
            marker,
            one.submission.student,
            attempt=2,
            opening__hygiene=second,
        )


# Bentur and others (2009) in Fagerland MW and others (2013) BMC Med Res Methodol 13:91:
# 1, 1, 7, 12 give McNemar's exact p = 0.0703; one element that changed, so q is p over
# the elements, of which the others never changed and have p = 1
def test_pairs_are_counted_and_tested(client_of, lead, instructor, assignment):
    twice(
        assignment,
        instructor,
        ("missed", "missed"),
        ("missed", "done"),
        *[("done", "missed")] * 7,
        *[("done", "done")] * 12,
    )
    row = row_of(client_of(lead), "cohort_attempts_csv", assignment.cohort)
    counts = [int(row[n]) for n in ("both", "only_first", "only_second", "neither")]
    assert counts == [1, 1, 7, 12]
    elements = len(assignment.edition.definition.elements)
    assert float(row["q"]) == pytest.approx(min(1, 0.0703125 * elements), abs=1e-6)
    assert float(row["difference"]) == pytest.approx(-6 / 21)


def test_the_finding_names_the_largest_gain(client_of, lead, instructor, assignment):
    twice(assignment, instructor, *[("missed", "done")] * 12, *[("done", "done")] * 3)
    text = page(client_of(lead), "cohort_attempts", assignment.cohort)
    assert (
        "15 students with both attempts. 1 element was left out less often the second "
        "time, “Cleans hands in view” most: by 12 of 15, then by 0."
    ) in text
    assert "McNemar" in text


def test_a_change_that_chance_explains_is_said_to_be_one(
    client_of, lead, instructor, assignment
):
    twice(assignment, instructor, ("missed", "done"), *[("done", "done")] * 12)
    text = page(client_of(lead), "cohort_attempts", assignment.cohort)
    assert "1 mark left out the first time and not the second, 0 the other" in text
    assert "no single element changed by more than chance explains" in text


def test_a_pair_counts_only_where_both_were_judged(
    client_of, lead, instructor, assignment
):
    twice(assignment, instructor, ("unseen", "missed"), *[("done", "done")] * 10)
    row = row_of(client_of(lead), "cohort_attempts_csv", assignment.cohort)
    assert (row["pairs"], row["only_second"]) == ("10", "0")


def test_nine_pairs_have_counts_and_two_have_nothing(
    client_of, lead, instructor, assignment
):
    twice(assignment, instructor, *[("missed", "done")] * 9)
    row = row_of(client_of(lead), "cohort_attempts_csv", assignment.cohort)
    assert (row["only_first"], row["difference"], row["q"]) == ("9", "", "")
    assert "counts only" in page(client_of(lead), "cohort_attempts", assignment.cohort)


def test_two_pairs_show_nothing(client_of, lead, instructor, assignment):
    twice(assignment, instructor, *[("missed", "done")] * 2)
    assert table(client_of(lead), "cohort_attempts_csv", assignment.cohort) == []
    text = page(client_of(lead), "cohort_attempts", assignment.cohort)
    assert "nothing is shown" in text


def test_nobody_has_tried_twice(client_of, lead, instructor, assignment):
    release(assignment, instructor)
    text = page(client_of(lead), "cohort_attempts", assignment.cohort)
    assert "Nobody has a released first and second attempt yet." in text


def test_a_cohort_without_assignment_has_no_attempts(client_of, lead, course):
    empty = CohortFactory(course=course)
    for name in ("cohort_attempts", "cohort_charts"):
        assert "No assignment is set" in page(client_of(lead), name, empty)


def test_filters_stay_in_the_address_from_page_to_page(
    client_of, lead, instructor, assignment
):
    release(assignment, instructor)
    query = {"attempt": "last", "count": "missed", "marker": instructor.pk}
    text = page(client_of(lead), "cohort_attempts", assignment.cohort, **query)
    kept = f"attempt=last&amp;count=missed&amp;marker={instructor.pk}"
    assert text.count(kept) >= 3
    assert '<input type="hidden" name="attempt" value="last"' in text
    assert HYGIENE not in text
