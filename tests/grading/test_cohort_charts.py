"""One element over cohorts and over markers."""

import pytest

from grading.pictures.funnel import funnel, sizes
from grading.statistics.methods import OF_CHARTS, OF_OMISSIONS, OF_PAIRS
from tests.factories import AssignmentFactory, CohortFactory, MembershipFactory
from tests.grading.cohorts import HYGIENE, page, release_many, table


@pytest.fixture
def markers(course):
    return [
        MembershipFactory(course=course, role="instructor", cohort=None).user
        for _ in range(3)
    ]


@pytest.fixture
def autumn(cohort, markers):
    return AssignmentFactory(cohort=cohort, markers=markers)


@pytest.fixture
def spring(course, autumn, markers):
    cohort = CohortFactory(course=course, title="Spring, section A")
    return AssignmentFactory(cohort=cohort, edition=autumn.edition, markers=markers)


def rows(client, assignment, kind, **query):
    query = {"element": HYGIENE, **query}
    found = table(client, "cohort_charts_csv", assignment.cohort, **query)
    return {row["group"]: row for row in found if row["kind"] == kind}


# By hand: 40 of 100 in all; n = 50 gives 0.4 ± 3 √(0.24 / 50) = 0.1922 and 0.6078
def test_cohorts_have_the_limits_of_a_p_chart(client_of, lead, autumn, spring, markers):
    release_many(autumn, markers[0], 50, 38)
    release_many(spring, markers[0], 50, 2)
    found = rows(client_of(lead), autumn, "cohort")
    high, low = found[str(autumn)], found[str(spring)]
    assert float(high["low_3sd"]) == pytest.approx(0.1922, abs=5e-5)
    assert float(high["high_3sd"]) == pytest.approx(0.6078, abs=5e-5)
    words = "the 3 SD limits and the 99.8% limits and the 95% limits"
    assert high["outside"] == low["outside"] == words


def test_markers_are_pooled_over_the_cohorts(client_of, lead, autumn, spring, markers):
    for assignment in (autumn, spring):
        release_many(assignment, markers[0], 10, 9)
        release_many(assignment, markers[1], 20, 2)
    found = rows(client_of(lead), autumn, "marker")
    assert found[markers[0].name]["n"] == "20"
    assert found[markers[0].name]["count"] == "18"
    assert "95%" in found[markers[0].name]["outside"]
    text = page(client_of(lead), "cohort_charts", autumn.cohort, element=HYGIENE)
    assert f"{markers[0].name}" in text
    assert "outside the limits" in text


def test_a_marker_of_few_is_listed_with_counts_and_not_drawn(
    client_of, lead, autumn, spring, markers
):
    release_many(autumn, markers[0], 20, 5)
    release_many(spring, markers[1], 20, 5)
    release_many(spring, markers[2], 4, 3)
    row = rows(client_of(lead), autumn, "marker")[markers[2].name]
    assert (row["n"], row["count"], row["rate"]) == ("4", "3", "")
    text = page(client_of(lead), "cohort_charts", autumn.cohort, element=HYGIENE)
    assert "too few to be drawn" in text
    assert "Funnel of 2 groups" in text


def test_nobody_outside_is_said_to_be_chance(client_of, lead, autumn, spring, markers):
    release_many(autumn, markers[0], 20, 5)
    release_many(spring, markers[1], 20, 6)
    text = page(client_of(lead), "cohort_charts", autumn.cohort, element=HYGIENE)
    assert "No cohort and no marker lies outside the limits" in text


def test_one_group_alone_is_no_chart(client_of, lead, autumn, markers):
    release_many(autumn, markers[0], 20, 5)
    text = page(client_of(lead), "cohort_charts", autumn.cohort, element=HYGIENE)
    assert "A chart needs two groups or more" in text
    assert "so there is no chart" in text


def test_the_element_most_often_left_out_is_charted_unless_another_is_asked_for(
    client_of, lead, autumn, spring, markers
):
    release_many(autumn, markers[0], 12, 7)
    release_many(spring, markers[0], 12, 7)
    address = {"assignment": autumn.pk}
    found = table(client_of(lead), "cohort_charts_csv", autumn.cohort, **address)
    assert {row["element"] for row in found} == {HYGIENE}


def test_nothing_released_is_no_chart(client_of, lead, autumn):
    assert "Nothing is released yet." in page(
        client_of(lead), "cohort_charts", autumn.cohort
    )
    assert table(client_of(lead), "cohort_charts_csv", autumn.cohort) == []


def test_every_page_says_how_its_figures_are_computed(
    client_of, lead, autumn, spring, markers
):
    release_many(autumn, markers[0], 12, 7)
    release_many(spring, markers[0], 12, 2)
    for name, methods in (("cohort", OF_OMISSIONS), ("cohort_charts", OF_CHARTS)):
        text = page(client_of(lead), name, autumn.cohort)
        assert "How this is computed" in text
        for method in methods:
            assert method.name in text
    assert all(m.words and m.rule for m in {*OF_OMISSIONS, *OF_PAIRS, *OF_CHARTS})


def test_a_funnel_needs_groups():
    with pytest.raises(ValueError, match="a funnel needs groups and limits"):
        funnel([], 0.5, [])


def test_the_funnel_is_drawn_from_one_recording_to_past_the_largest_group():
    assert sizes(3) == [1, 2, 3, 4]
    assert len(sizes(1000)) < 60
    assert sizes(1000)[-1] == 1100
