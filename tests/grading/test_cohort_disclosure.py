"""Somebody subtracts: every choice of filters from every other, on every page."""

from itertools import permutations

import pytest

from grading.disclosure import FEWEST, FEWEST_COUNTED
from tests.factories import AssignmentFactory, MembershipFactory
from tests.grading.cohorts import HYGIENE, page, release, release_many, row_of, table

SIZES = (12, 11, 3, 1)  # recordings of each marker's first attempts
AGAIN = (2, 10, 1, 0)  # and of second attempts


@pytest.fixture
def markers(course):
    return [
        MembershipFactory(course=course, role="instructor", cohort=None).user
        for _ in SIZES
    ]


@pytest.fixture
def assignment(cohort, markers):
    """Second attempts are marked by whoever marked the first."""
    assignment = AssignmentFactory(cohort=cohort, markers=markers, attempts=2)
    for marker, size, again in zip(markers, SIZES, AGAIN, strict=True):
        first = release_many(assignment, marker, size, left_out=size // 2)
        for one in first[:again]:
            release(assignment, marker, one.submission.student, attempt=2)
    return assignment


def seen(assignment, client):
    """What each choice of filters shows of one element: {choice: (releases, row)}."""
    releases = list(assignment.releases.select_related("submission", "marking"))
    firsts = {r.submission.student_id: r for r in releases if r.attempt == 1}
    lasts = firsts | {r.submission.student_id: r for r in releases if r.attempt == 2}
    both = [s for s in firsts if lasts[s].attempt == 2]
    of = {
        "first": set(firsts.values()),
        "last": set(lasts.values()),
        "all": set(releases),
    }
    found = {}
    for attempt, whole in of.items():
        for marker in [None, *assignment.markers.all()]:
            query = {"attempt": attempt, "marker": marker.pk if marker else ""}
            own = {r for r in whole if marker in {None, r.marking.marker}}
            rows = table(client, "cohort_csv", assignment.cohort, **query)
            row = next((row for row in rows if row["element"] == HYGIENE), None)
            found[attempt, marker and marker.pk] = own, row
    rows = table(client, "cohort_attempts_csv", assignment.cohort)
    if pair := next((row for row in rows if row["element"] == HYGIENE), None):
        for name, only, side in (
            ("pairs 1", "only_first", firsts),
            ("pairs 2", "only_second", lasts),
        ):
            omitted = int(pair["both"]) + int(pair[only])
            shown = {
                "judged": pair["pairs"],
                "omitted": omitted,
                "rate": pair["difference"],
            }
            found[name, None] = {side[s] for s in both}, shown
    for row in table(client, "cohort_charts_csv", assignment.cohort, element=HYGIENE):
        marker = next(
            (m for m in assignment.markers.all() if m.name == row["group"]), None
        )
        if row["kind"] == "marker" and row["count"]:
            own = {r for r in of["first"] if r.marking.marker == marker}
            shown = {
                "judged": row["n"],
                "omitted": row["count"],
                "rate": row["rate"],
            }
            found["chart", marker.pk] = own, shown
    return {key: value for key, value in found.items() if value[1]}


def students(releases):
    return len({release.submission.student_id for release in releases})


def test_no_two_choices_of_filters_leave_a_student_between_them(
    client_of, lead, assignment
):
    found = seen(assignment, client_of(lead))
    assert len(found) > 8
    for one, other in permutations(found, 2):
        (a, row_a), (b, row_b) = found[one], found[other]
        left = students(a ^ b)
        if not (a & b) or not left:
            continue
        assert left >= FEWEST_COUNTED, (one, other)
        if row_a["rate"] and row_b["rate"]:
            assert left >= FEWEST, (one, other)
        if b < a:
            assert int(row_a["judged"]) - int(row_b["judged"]) >= FEWEST_COUNTED


def test_all_less_the_markers_shown_leaves_no_lone_marker(client_of, lead, assignment):
    found = seen(assignment, client_of(lead))
    shown = [
        own for (attempt, m), (own, _) in found.items() if attempt == "first" and m
    ]
    whole, _ = found["first", None]
    assert students(whole.difference(*shown)) >= FEWEST_COUNTED


def test_a_marker_of_one_recording_shows_nothing_and_says_why(
    client_of, lead, assignment, markers
):
    query = {"marker": markers[3].pk, "assignment": assignment.pk}
    text = page(client_of(lead), "cohort", assignment.cohort, **query)
    assert "1 student, first attempts. So few that one of them could be" in text
    assert "<tbody>" not in text[: text.index("By section and cohort")]


def test_the_three_worst_of_home_are_those_of_the_page(client_of, lead, assignment):
    text = " ".join(client_of(lead).get("/").content.decode().split())
    row = row_of(client_of(lead), "cohort_csv", assignment.cohort)
    assert f"{row['omitted']} of {row['judged']}" in text
