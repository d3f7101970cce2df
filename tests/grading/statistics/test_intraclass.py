import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose
from scipy import stats

from grading.statistics.intraclass import NAMES, intraclass

SCORES = arrays(
    np.float64,
    st.tuples(st.integers(3, 10), st.integers(2, 4)),
    elements=st.integers(0, 20).map(float),
)
SMALL = np.array([[1.0, 5], [5, 1], [2, 4], [4, 3]])  # subjects alike, raters not


def figures(ratings):
    found = intraclass(ratings)
    return {name: getattr(found, name) for name in NAMES}


def mean_squares(ratings):
    """Of subjects, raters and error: by how much each lowers the residual."""
    n, k = ratings.shape
    subject, rater = np.eye(n).repeat(k, axis=0), np.tile(np.eye(k), (n, 1))

    def residual(*columns):
        design = np.hstack([np.ones((n * k, 1)), *columns])
        fitted = design @ np.linalg.lstsq(design, ratings.ravel(), rcond=None)[0]
        return ((ratings.ravel() - fitted) ** 2).sum()

    both = residual(subject, rater)
    return (
        (residual(rater) - both) / (n - 1),
        (residual(subject) - both) / (k - 1),
        both / ((n - 1) * (k - 1)),
    )


@given(SCORES)
def test_correlations_follow_from_the_analysis_of_variance(ratings):
    n, k = ratings.shape
    between, raters, error = mean_squares(ratings)
    assume(min(between, raters, error) > 1e-6)
    found = figures(ratings)
    assert_allclose(
        [found["icc_2_1"].value, found["icc_3_1"].value, found["icc_3_k"].value],
        [
            (between - error) / (between + (k - 1) * error + k * (raters - error) / n),
            (between - error) / (between + (k - 1) * error),
            (between - error) / between,
        ],
        atol=1e-8,
    )
    # the consistency limits hold exactly where F does: at its own quantiles
    f = between / error
    low = f / stats.f.ppf(0.975, n - 1, (n - 1) * (k - 1))
    assert_allclose(found["icc_3_k"].low, 1 - 1 / low, atol=1e-8)


@given(SCORES)
def test_the_mean_of_k_raters_is_stepped_up_by_spearman_brown(ratings):
    assume(ratings.min() < ratings.max())
    found, k = figures(ratings), ratings.shape[1]
    for kind in "123":
        single, mean = found[f"icc_{kind}_1"].value, found[f"icc_{kind}_k"].value
        if single is not None and mean is not None and 1 + (k - 1) * single > 1e-6:
            assert_allclose(mean, k * single / (1 + (k - 1) * single), atol=1e-6)


@given(SCORES)
def test_raters_who_differ_by_a_constant_are_consistent(ratings):
    assume(ratings[:, 0].min() < ratings[:, 0].max())
    shifted = ratings[:, :1] + np.arange(3.0)
    found = figures(shifted)
    assert_allclose(found["icc_3_1"].value, 1)
    assert found["icc_2_1"].value < 1


@given(SCORES)
def test_every_limit_lies_on_its_side_of_the_value(ratings):
    for figure in figures(ratings).values():
        assert figure.low is None or figure.low <= figure.value + 1e-9
        assert figure.high is None or figure.high >= figure.value - 1e-9


# SMALL, by hand: between 0.125, within 4.625, so (0.125 - 4.625) / (0.125 + 4.625)
def test_a_negative_correlation_is_shown_as_it_is():
    found = figures(SMALL)
    assert_allclose(found["icc_1_1"].value, -4.5 / 4.75)
    assert_allclose(found["icc_1_k"].value, -36)


# by hand: between 0.125, raters 0.125, error 6.125: 0.125 + (0.125 - 6.125) / 4 is below 0
def test_a_quotient_of_two_negatives_is_no_correlation():
    figure = figures(SMALL)["icc_2_k"]
    assert figure.value is None
    assert figure.reason == "the subjects' means do not differ enough"


def test_limits_that_cannot_be_stepped_up_are_none_with_words():
    scores = np.array([[3.0, 1, 1], [1, 1, 4], [3, 4, 2], [4, 4, 2]])
    figure = figures(scores)["icc_2_k"]
    assert (figure.low, figure.high) == (None, None)
    assert figure.reason == "limits cannot be worked out from such ratings"


def test_raters_who_never_differ_have_a_correlation_of_1_without_limits():
    found = figures(np.array([[1.0, 1], [2, 2], [3, 3]]))
    assert {figure.value for figure in found.values()} == {1.0}
    assert {figure.low for figure in found.values()} == {None}


def test_a_missing_rating_leaves_all_six_undefined():
    holed = SMALL.copy()
    holed[1, 1] = np.nan
    expected = "it needs every rater's rating of every subject, but 1 are missing"
    assert {figure.reason for figure in figures(holed).values()} == {expected}


def test_all_ratings_equal_has_no_correlation():
    found = figures(np.full((4, 2), 3.0))
    assert {figure.reason for figure in found.values()} == {"all ratings are equal"}


def test_one_rater_has_no_correlation():
    reasons = {figure.reason for figure in figures(SMALL[:, :1]).values()}
    assert reasons == {"it needs two raters or more, but has 1"}


def test_a_single_subject_has_no_correlation():
    reasons = {figure.reason for figure in figures(SMALL[:1]).values()}
    assert reasons == {"it needs two subjects or more, but has 1"}


def test_subjects_whose_means_are_equal_have_no_mean_of_k():
    figure = figures(np.array([[1.0, 3], [3, 1], [2, 2]]))["icc_3_k"]
    assert figure.reason == "the subjects' means do not differ enough"


# between 0, raters 0, error 4: ICC(2,1) is -4 / 2, and its degrees of freedom are 0 / 0
def test_limits_without_degrees_of_freedom_are_none():
    figure = figures(np.array([[1.0, 3], [3, 1], [1, 3], [3, 1]]))["icc_2_1"]
    assert (figure.value, figure.low, figure.high) == (-2, None, None)
