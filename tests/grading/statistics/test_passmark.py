import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose
from scipy import optimize, stats

from grading.statistics.figure import Figure
from grading.statistics.passmark.angoff import angoff
from grading.statistics.passmark.borderline import (
    borderline_group,
    borderline_regression,
)
from grading.statistics.passmark.contrasting import contrasting_groups
from grading.statistics.passmark.ebel import ebel
from grading.statistics.passmark.hofstee import hofstee
from grading.statistics.passmark.rate import pass_rate

PERCENTS = st.lists(st.integers(0, 100).map(float), min_size=2, max_size=40).map(
    np.array
)
NAN = np.nan


def test_a_student_on_the_pass_mark_passes():
    third = Figure(200 / 3)
    assert pass_rate(np.array([200 / 3, 66.0]), third).value == 50
    assert pass_rate(np.array([0.1 + 0.2]), Figure(0.3)).value == 100


def test_without_pass_mark_or_students_there_is_no_pass_rate():
    assert pass_rate(np.array([50.0]), Figure(None, reason="why")).reason == "why"
    assert pass_rate(np.array([]), Figure(60.0)).reason == "there is no student"


# Angoff and Ebel: constructed, the arithmetic beside each
def test_one_judge_has_no_standard_error():
    found = angoff(np.array([[0.5, 0.7]]), np.ones(2))
    assert_allclose(found.pass_mark.value, 60)
    assert found.standard_error.reason == "it needs two judges or more"


def test_a_judge_who_left_out_an_element_has_no_pass_mark_of_their_own():
    found = angoff(np.array([[0.5, NAN], [0.7, 0.9]]), np.ones(2))
    assert_allclose(found.pass_mark.value, 75)  # (0.6 + 0.9) / 2
    assert found.judges[0].reason == "this judge left out 1 element"
    assert found.standard_error.reason == "a judge left out an element"


@given(arrays(np.float64, (4, 6), elements=st.floats(0, 1)))
def test_angoff_is_the_mean_of_its_judges(probabilities):
    found = angoff(probabilities, np.arange(1.0, 7.0))
    own = [judge.value for judge in found.judges]
    assert_allclose(found.pass_mark.value, np.mean(own), atol=1e-9)
    assert_allclose(found.standard_error.value, stats.sem(own), atol=1e-9)


def test_elements_without_points_have_no_pass_mark():
    assert angoff(np.array([[0.5]]), np.zeros(1)).pass_mark.value is None
    assert angoff(np.zeros((0, 0)), np.zeros(0)).pass_mark.reason == "there is no judge"
    assert ebel(np.array([0.5]), np.zeros(1)).reason == "the elements have no points"
    assert ebel(np.array([]), np.array([])).reason == "there is no element"


def below(scores, x):
    return (scores < x).mean() * 100


LINES = st.tuples(*[st.integers(0, 100)] * 4).map(
    lambda x: (*sorted(x[:2]), *sorted(x[2:]))
)


@given(PERCENTS, LINES)
def test_hofstee_is_the_least_x_where_the_curve_reaches_the_line(scores, limits):
    min_pass, max_pass, min_fail, max_fail = map(float, limits)
    assume(max_pass > min_pass)
    found = hofstee(
        np.array([[min_pass, max_pass, min_fail, max_fail]]), scores
    ).pass_mark

    def over(x):
        share = (x - min_pass) / (max_pass - min_pass)
        return below(scores, x) - (max_fail - share * (max_fail - min_fail))

    if over(min_pass) > 1e-9:
        assert "below the lowest pass mark" in found.reason
    elif found.value is None:
        assert max(over(x) for x in np.linspace(min_pass, max_pass, 401)) < 1e-6
    else:
        x = found.value
        assert min_pass <= x <= max_pass
        before = np.linspace(min_pass, x, 101)[:-1]
        assert all(over(y) < 1e-6 for y in before if y < x - 1e-6)
        assert max(over(x), over(x + 1e-7)) > -1e-4  # reached, or jumped over at x


def test_hofstee_at_a_jump_is_the_score_itself():
    scores = np.array([45.0, 49, 52, 53, 55, 55, 55, 55, *range(60, 72)])
    found = hofstee(np.array([[50.0, 60, 5, 40]]), scores)
    assert (found.pass_mark.value, found.fail_rate.value) == (55, 20)


def test_hofstee_has_none_where_the_curve_stays_below_the_line():
    found = hofstee(np.array([[50.0, 60, 20, 40]]), np.array([90.0, 95]))
    assert found.pass_mark.reason.startswith(
        "the curve of failing students stays below"
    )
    assert found.fail_rate.value is None


def test_hofstee_reads_a_level_line_and_an_upright_one():
    scores = np.array([40.0, 50, 60, 70])
    level = hofstee(np.array([[45.0, 65, 50, 50]]), scores)
    assert level.pass_mark.value == 50
    upright = hofstee(np.array([[55.0, 55, 20, 60]]), scores)
    assert upright.pass_mark.value == 55
    assert hofstee(np.array([[55.0, 55, 60, 70]]), scores).pass_mark.value is None


def test_hofstee_draws_the_students_below_each_score():
    found = hofstee(np.array([[45.0, 65, 0, 50]]), np.array([40.0, 50, 50, 70]))
    assert found.scores.tolist() == [40, 50, 70]
    assert found.below.tolist() == [0, 25, 75]


def test_hofstee_without_judges_or_students_says_so():
    none = hofstee(np.zeros((0, 4)), np.array([50.0]))
    assert none.pass_mark.reason == none.min_pass.reason == "there is no judge"
    nobody = hofstee(np.array([[45.0, 65, 0, 50]]), np.array([]))
    assert nobody.pass_mark.reason == "there is no student"


def test_the_borderline_group_has_a_median_and_a_mean():
    own = np.array([True, True, True, False])
    found = borderline_group(np.array([50.0, 52, 60, 90]), own)
    assert (found.pass_mark.value, found.mean.value) == (52, 54)
    assert (found.n_borderline.value, found.pass_rate.value) == (3, 75)


def test_a_borderline_rating_nobody_received_has_no_pass_mark():
    found = borderline_group(np.array([50.0, 60]), np.array([False, False]))
    assert found.n_borderline.value == 0
    assert found.pass_mark.reason == "no student received the borderline rating"


@given(PERCENTS, st.integers(0, 10**6))
def test_borderline_regression_agrees_with_scipy(percents, seed):
    ratings = np.random.default_rng(seed).integers(1, 6, len(percents)) * 1.0
    assume(ratings.min() < ratings.max())
    found = borderline_regression(percents, ratings, 2.0)
    line = stats.linregress(ratings, percents)
    expected = [line.slope, line.intercept, line.intercept + 2 * line.slope]
    got = [found.slope.value, found.intercept.value, found.pass_mark.value]
    assert_allclose(got, expected, atol=1e-8)
    if percents.min() < percents.max():
        assert_allclose(found.r_squared.value, line.rvalue**2, atol=1e-8)


def test_the_error_of_regression_is_the_spread_over_resampled_students():
    rng = np.random.default_rng(2)
    ratings = np.array([1.0, 1, 2, 3, 4, 5])
    percents = 40 + 9 * ratings + rng.normal(0, 4, 6)
    marks = []
    for own in np.random.default_rng(1).integers(0, 6, (2000, 6)):
        if len(set(ratings[own])) > 1:
            line = stats.linregress(ratings[own], percents[own])
            marks.append(line.intercept + 2 * line.slope)
    assert len(marks) < 2000
    found = borderline_regression(percents, ratings, 2.0).standard_error
    assert_allclose(found.value, np.std(marks, ddof=1), atol=1e-9)


def test_equal_ratings_have_no_line():
    found = borderline_regression(np.array([50.0, 60]), np.array([3.0, 3.0]), 3.0)
    assert found.slope.reason == found.standard_error.reason == "all ratings are equal"
    assert found.pass_rate.value is None


def test_equal_percents_have_a_level_line_and_no_r_squared():
    found = borderline_regression(np.full(4, 61.3), np.array([1.0, 2, 3, 4]), 2.0)
    assert_allclose([found.pass_mark.value, found.slope.value], [61.3, 0], atol=1e-9)
    assert found.r_squared.reason == "all percents are equal"


def test_a_single_student_has_no_line():
    one = borderline_regression(np.array([50.0]), np.array([3.0]), 3.0)
    assert one.pass_mark.value is None
    nobody = borderline_regression(np.array([]), np.array([]), 3.0)
    assert nobody.pass_mark.reason == "there is no student"


def two_groups(low, high):
    percents = np.array([*low, *high], dtype=float)
    return percents, np.arange(len(percents)) >= len(low)


@given(PERCENTS, PERCENTS)
def test_the_curves_are_equally_high_at_the_crossing(low, high):
    assume(low.std() > 0.5 and high.std() > 0.5)
    found = contrasting_groups(*two_groups(low, high))
    curves = [stats.norm(x.mean(), x.std(ddof=1)) for x in (low, high)]

    def gap(x):
        return curves[0].logpdf(x) - curves[1].logpdf(x)

    means = low.mean(), high.mean()
    mark = found.pass_mark.value
    if mark is not None:
        assert means[0] < mark < means[1]
        assert abs(gap(mark)) < 1e-6
    elif means[0] < means[1]:
        assert gap(means[0]) * gap(means[1]) > 0
    if means[0] < means[1] and gap(means[0]) > 1e-6 and gap(means[1]) < -1e-6:
        assert_allclose(mark, optimize.brentq(gap, *means), atol=1e-6)


@given(PERCENTS, PERCENTS)
def test_no_cut_misplaces_fewer_students(low, high):
    percents, competent = two_groups(low, high)
    found = contrasting_groups(percents, competent)
    scores = np.unique(percents)
    cuts = (scores[1:] + scores[:-1]) / 2
    assume(len(cuts))

    def errors(cut):
        return int(((percents < cut) == competent).sum())

    least = min(map(errors, cuts))
    best = [cut for cut in cuts if errors(cut) == least]
    assert found.least_errors.value == least
    mark = found.pass_mark.value
    nearest = (
        best[0]
        if mark is None
        else min(best, key=lambda cut: round(abs(cut - mark), 6))
    )
    assert found.least_error_cut.value == nearest


def test_spreads_that_hardly_differ_cross_midway():
    low = np.array([40.0, 44, 48, 50, 52])
    found = contrasting_groups(*two_groups(low, low + 20 + 1e-7 * np.arange(5)))
    assert_allclose(found.pass_mark.value, low.mean() + 10, atol=1e-4)


@pytest.mark.parametrize(
    ("low", "high", "reason"),
    [
        ([50, 60], [70], "it needs two students or more in each group"),
        ([50, 50], [70, 80], "all students of a group have the same percent"),
        ([60, 70], [50, 60], "the competent students do not score higher on average"),
        ([49, 51], [20, 84], "the two curves do not cross between their means"),
    ],
)
def test_a_crossing_that_cannot_be_has_words(low, high, reason):
    assert contrasting_groups(*two_groups(low, high)).pass_mark.reason == reason


@pytest.mark.parametrize(
    ("low", "high", "reason"),
    [
        ([], [70, 80], "all students are in one group"),
        ([50, 60], [], "all students are in one group"),
        ([60, 60], [60], "all percents are equal"),
        ([], [], "there is no student"),
    ],
)
def test_a_cut_that_cannot_be_has_words(low, high, reason):
    assert contrasting_groups(*two_groups(low, high)).least_error_cut.reason == reason


def test_a_group_of_one_has_a_mean_and_no_spread():
    found = contrasting_groups(*two_groups([50], [])).incompetent
    assert (found.n, found.mean.value) == (1, 50)
    assert found.sd.reason == "the group has 1 student"
    nobody = contrasting_groups(*two_groups([50], [])).competent
    assert nobody.mean.reason == "the group has no students"
