import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose

from grading.statistics.items import items
from grading.statistics.reliability import feldt, spearman_brown

CREDITS = arrays(
    np.float64,
    st.tuples(st.integers(10, 25), st.integers(2, 6)),
    elements=st.sampled_from([0.0, 0.5, 1.0]),
)
NAN = np.nan


def ones(credits_):
    return np.ones(credits_.shape[1])


def holed(students, elements, holes, seed=1):
    """Random credits with the first `holes` sheets each lacking one element in turn."""
    credits_ = np.random.default_rng(seed).integers(0, 2, (students, elements)) * 1.0
    credits_[range(holes), np.arange(holes) % elements] = NAN
    return credits_


@given(CREDITS, st.integers(1, 5))
def test_alpha_follows_from_variances(credits_, points):
    weights = np.arange(credits_.shape[1]) % 3 + float(points)
    scores = credits_ * weights
    total = scores.sum(axis=1)
    assume(total.var() > 1e-6)
    k = len(weights)
    alpha = k / (k - 1) * (1 - scores.var(axis=0, ddof=1).sum() / total.var(ddof=1))
    found = items(credits_, weights)
    assert_allclose(found.cronbach_alpha.value, alpha, atol=1e-9)
    sem = found.standard_error_of_measurement.value
    assert_allclose(sem**2, total.var(ddof=1) * (1 - alpha), atol=1e-9)
    limits = found.cronbach_alpha.low, found.cronbach_alpha.high
    assert_allclose(limits, feldt(alpha, len(total), k), atol=1e-8)


@given(CREDITS)
def test_item_rest_correlation_is_pearsons(credits_):
    weights = np.arange(1.0, credits_.shape[1] + 1)
    found = items(credits_, weights).items
    for j, item in enumerate(found):
        rest = (credits_ * weights).sum(axis=1) - credits_[:, j] * weights[j]
        if credits_[:, j].std() > 1e-9 and rest.std() > 1e-9:
            expected = np.corrcoef(credits_[:, j], rest)[0, 1]
            assert_allclose(item.item_rest_correlation.value, expected, atol=1e-9)
        else:
            assert item.item_rest_correlation.reason


@given(CREDITS)
def test_alpha_if_left_out_is_alpha_without_the_element(credits_):
    assume(credits_.shape[1] > 2)
    found = items(credits_, ones(credits_))
    without = items(credits_[:, 1:], ones(credits_[:, 1:]))
    left_out, alpha = found.items[0].alpha_if_left_out, without.cronbach_alpha
    assert (left_out.value is None) == (alpha.value is None)
    assert alpha.value is None or abs(left_out.value - alpha.value) < 1e-9


@given(CREDITS)
def test_doubling_the_points_doubles_the_error_and_nothing_else(credits_):
    one, two = items(credits_, ones(credits_)), items(credits_, 2 * ones(credits_))
    assume(one.cronbach_alpha.value is not None)
    assert_allclose(one.cronbach_alpha.value, two.cronbach_alpha.value, atol=1e-9)
    errors = [x.standard_error_of_measurement.value for x in (one, two)]
    assert_allclose(2 * errors[0], errors[1], atol=1e-9)


def test_an_element_of_no_points_has_a_correlation_too():
    credits_ = holed(20, 3, 0)
    found = items(credits_, np.array([1.0, 1.0, 0.0])).items[2].item_rest_correlation
    expected = np.corrcoef(credits_[:, 2], credits_[:, :2].sum(axis=1))[0, 1]
    assert_allclose(found.value, expected)


# Arithmetic: 27% of 11 is 2.97, so 3 and 3
def test_the_27_percent_groups_are_rounded_half_up():
    assert items(holed(11, 2, 0), np.ones(2)).group_size_27.value == 3
    assert items(holed(50, 2, 0), np.ones(2)).group_size_27.value == 14
    assert items(holed(2, 2, 0), np.ones(2)).group_size_27.value == 1


# Four students, one place up and one down; totals 2 2 1 0: the two on top share a place,
# so the upper mean of the first element is (1 + 0) / 2
def test_students_tied_at_the_cut_share_the_places_left():
    credits_ = np.array([[1.0, 1, 0], [0, 1, 1], [0, 1, 0], [0, 0, 0]])
    found = items(credits_, np.ones(3)).items
    assert [item.discrimination.value for item in found] == [0.5, 1.0, 0.5]


def test_equal_sums_in_another_order_are_still_ties():
    """0.1 + 0.2 + 0.3 and 0.3 + 0.2 + 0.1 differ in the last bit."""
    credits_ = np.array([[0.1, 0.2, 0.3], [0.3, 0.2, 0.1], [0, 0, 0], [0, 0, 0]])
    found = items(credits_, np.ones(3)).items
    assert_allclose(found[0].discrimination.value, 0.2)


def test_a_single_student_has_difficulties_and_nothing_else():
    found = items(np.array([[1.0, 0.0]]), np.ones(2))
    item = found.items[0]
    assert item.difficulty.value == 1
    assert item.discrimination.value is None
    assert item.item_rest_correlation.reason
    assert "two students or more" in found.cronbach_alpha.reason
    assert found.spearman_brown_half.value is None


def test_no_student_has_no_figures():
    found = items(np.zeros((0, 0)), np.zeros(0))
    assert found.cronbach_alpha.value is None
    assert found.group_size_27.reason == "no student was seen on an element with points"


def test_where_no_sheet_is_complete_there_are_only_words():
    credits_ = np.where(np.eye(10, dtype=bool), NAN, holed(10, 10, 0))
    found = items(credits_, np.ones(10))
    assert (found.complete_only, found.sheets) == (True, 0)
    assert found.items[0].difficulty.reason == "it was seen on no sheet used"
    assert found.items[0].discrimination.value is None
    assert found.cronbach_alpha.value is None


def test_where_every_element_is_set_aside_there_is_no_alpha():
    found = items(np.full((12, 2), NAN), np.ones(2))
    assert found.set_aside == (0, 1)
    assert found.items[0].difficulty.value is None
    assert found.cronbach_alpha.reason == "it needs two elements or more"


def test_a_student_of_whom_nothing_was_seen_takes_no_place_in_a_group():
    credits_ = np.vstack([np.full((1, 3), NAN), holed(20, 3, 0)])
    found = items(credits_, np.ones(3))
    without = items(credits_[1:], np.ones(3))
    assert found.group_size_27 == without.group_size_27
    assert [item.discrimination for item in found.items] == [
        item.discrimination for item in without.items
    ]


def test_sheets_too_different_to_add_up_leave_alpha_undefined():
    """Two opposite elements: 12 and 8 of 20, but 8 and 8 where both were seen."""
    first = np.repeat([1.0, 0.0], [12, 8])
    credits_ = np.stack([first, 1 - first], axis=1)
    credits_[[0, 1], 0] = credits_[[2, 3], 1] = NAN
    found = items(credits_, np.ones(2))
    expected = "the sheets of its pairs differ too much to"
    assert found.cronbach_alpha.reason == f"{expected} add up"
    reason = found.items[0].item_rest_correlation.reason
    assert reason == f"{expected} give one correlation"


def test_a_single_element_has_no_alpha():
    found = items(holed(12, 1, 0), np.ones(1))
    assert found.cronbach_alpha.reason == "it needs two elements or more"
    assert found.items[0].item_rest_correlation.reason == "there is no other element"


def test_zero_total_variance_leaves_alpha_and_all_built_on_it_undefined():
    found = items(np.tile([0.1, 0.7, 0.3], (12, 1)), np.ones(3))
    for name in ("cronbach_alpha", "kr20", "standard_error_of_measurement"):
        assert getattr(found, name).value is None
    assert found.spearman_brown_double.reason == "every student has the same total"
    assert found.items[0].item_rest_correlation.reason == (
        "every student has the same credit"
    )


def test_elements_that_cancel_out_leave_a_constant_rest():
    credits_ = np.array([[1.0, 1, 0], [0, 0, 1]] * 6)
    found = items(credits_, np.ones(3)).items[0].item_rest_correlation
    assert found.reason == "every student has the same points in the other elements"


def test_kr20_needs_credits_of_0_and_1_and_equal_points():
    binary = holed(12, 3, 0)
    assert items(binary, np.full(3, 2.0)).kr20.value is not None
    reason = items(binary, np.array([1.0, 2.0, 1.0])).kr20.reason
    assert reason == "the elements differ in points"
    assert items(binary / 2, np.ones(3)).kr20.reason == "a credit is neither 0 nor 1"


def test_an_element_unseen_on_more_than_a_tenth_of_the_sheets_is_set_aside():
    credits_ = holed(20, 4, 0)
    credits_[:2, 0] = NAN
    credits_[:3, 1] = NAN
    found = items(credits_, np.ones(4))
    assert found.set_aside == (1,)
    assert found.items[1].difficulty.n == 17
    assert found.items[1].discrimination.reason.startswith("set aside")
    without = items(np.delete(credits_, 1, axis=1), np.ones(3))
    assert found.cronbach_alpha == without.cronbach_alpha


def pairwise(credits_):
    k = credits_.shape[1]
    found = np.empty((k, k))
    for i in range(k):
        for j in range(k):
            both = ~np.isnan(credits_[:, i]) & ~np.isnan(credits_[:, j])
            found[i, j] = np.cov(credits_[both, i], credits_[both, j])[0, 1]
    return found


def test_covariances_come_from_the_sheets_that_have_both_elements():
    credits_ = holed(30, 4, 8)
    found = items(credits_, np.ones(4))
    covariances = pairwise(credits_)
    alpha = 4 / 3 * (1 - np.trace(covariances) / covariances.sum())
    assert_allclose(found.cronbach_alpha.value, alpha)
    assert (found.smallest_pair, found.complete_only) == (26, False)
    assert found.cronbach_alpha.n == 26


def test_complete_sheets_alone_where_a_pair_has_fewer_than_ten():
    credits_ = holed(11, 3, 2)
    found = items(credits_, np.ones(3))
    assert (found.complete_only, found.sheets) == (True, 9)
    assert found.cronbach_alpha == items(credits_[2:], np.ones(3)).cronbach_alpha


def test_complete_sheets_alone_where_they_are_asked_for():
    credits_ = holed(40, 4, 4)
    assert items(credits_, np.ones(4), complete=True).sheets == 36
    assert items(credits_, np.ones(4)).sheets == 40


def test_a_few_complete_sheets_are_no_reason_to_leave_any_out():
    found = items(holed(6, 3, 0), np.ones(3))
    assert (found.complete_only, found.sheets) == (False, 6)


def test_students_are_ranked_by_the_share_of_what_was_seen():
    """One unseen element must not put a strong student into the lower group."""
    credits_ = np.array([[1.0] * 9 + [NAN]] + [[1.0] * 10] * 3 + [[0.0] * 10] * 6)
    credits_[9, :4] = 1
    found = items(credits_, np.ones(10)).items
    assert found[8].discrimination.value == 1
    assert found[0].discrimination.value == 1


@pytest.mark.parametrize("alpha", [-1.0, -3.0])
def test_alpha_far_below_zero_cannot_be_stepped_up(alpha):
    assert spearman_brown(alpha, 2) is None


def test_a_negative_alpha_is_shown_as_it_is():
    credits_ = np.array([[1.0, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 0]] * 3)
    found = items(credits_, np.ones(3))
    assert found.cronbach_alpha.value < 0
    assert found.standard_error_of_measurement.value > 0
