import numpy as np
import pytest
from numpy.testing import assert_allclose

from grading.statistics.compare import compare_groups, compare_pairs, from_pair_counts
from grading.statistics.omissions import left_out, omissions

DONE, MISSED, UNSEEN = 1, 4, 5


def cohort(*elements):
    """A column an element, from (missed, done, unseen) counts that add up alike."""
    columns = [
        [MISSED] * missed + [DONE] * done + [UNSEEN] * unseen
        for missed, done, unseen in elements
    ]
    return omissions(np.array(columns, dtype=np.uint8).T)


# Newcombe RG (1998) Stat Med 17:873, Table II, method 10 (9 of 10 against 3 of 10)
def test_two_cohorts_differ_by_newcombes_interval():
    figure = compare_groups(cohort((9, 1, 0)), cohort((3, 7, 0))).figure(0)
    assert_allclose(
        (figure.value, figure.low, figure.high), (0.6, 0.1705, 0.809), atol=5e-5
    )
    assert figure.n == 20


def test_an_element_judged_on_one_side_only_has_no_difference():
    found = compare_groups(cohort((3, 7, 0), (2, 8, 0)), cohort((6, 4, 0), (0, 0, 10)))
    assert found.figure(1).reason == "no mark of it was judged in B"
    assert np.isnan(found.p[1])
    assert found.q[0] == found.p[0]


def test_an_element_judged_on_neither_side_names_both():
    found = compare_groups(cohort((0, 0, 3)), cohort((0, 0, 4)))
    assert found.figure(0).reason == "no mark of it was judged in A and B"


def test_cohorts_over_other_elements_are_not_compared():
    with pytest.raises(ValueError, match="over the same elements"):
        compare_groups(cohort((1, 1, 0)), cohort((1, 1, 0), (1, 1, 0)))


# Bentur and others (2009) in Fagerland MW and others (2013) BMC Med Res Methodol 13:91
def test_pairs_are_counted_by_where_the_element_was_left_out():
    first = [MISSED] * 2 + [DONE] * 19
    second = [MISSED] + [DONE] + [MISSED] * 7 + [DONE] * 12
    marks = [left_out(np.array([x], dtype=np.uint8).T) for x in (first, second)]
    found = compare_pairs(*marks)
    counts = (found.both, found.only_first, found.only_second, found.neither)
    assert np.ravel(counts).tolist() == [1, 1, 7, 12]
    assert_allclose(found.p, [0.0703125])
    assert found.figure(0).n == 21


def test_a_pair_counts_only_where_both_are_judged():
    first = np.array([[1.0], [np.nan], [0.0]])
    second = np.array([[0.0], [1.0], [np.nan]])
    assert compare_pairs(first, second).pairs[0] == 1


def test_no_pair_has_no_difference():
    found = from_pair_counts(*np.zeros((4, 1), dtype=np.int64))
    figure = found.figure(0)
    assert figure.reason == "no student has a judged mark on both sides"
    assert np.isnan(found.p[0])


def test_pairs_that_never_differ_have_p_1():
    ones = np.ones((6, 1))
    assert compare_pairs(ones, ones).p[0] == 1


def test_pairs_of_other_students_are_refused():
    with pytest.raises(ValueError, match="the same students"):
        compare_pairs(np.zeros((2, 1)), np.zeros((3, 1)))
