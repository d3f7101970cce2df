import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose

from grading.statistics.severity import islands, severity

RATINGS = arrays(
    np.float64,
    st.tuples(st.integers(3, 8), st.integers(2, 4)),
    elements=st.one_of(st.integers(40, 100).map(float), st.just(np.nan)),
)


def fit(ratings):
    subjects = [f"s{i}" for i in range(ratings.shape[0])]
    return severity(ratings, subjects, list("PQRT")[: ratings.shape[1]])


def by_dummy_columns(ratings):
    """Ordinary least squares: a column a subject, and raters against the last one."""
    row, column = np.nonzero(~np.isnan(ratings))
    subjects, raters = ratings.shape
    codes = np.vstack([np.eye(raters - 1), -np.ones(raters - 1)])
    design = np.hstack([np.eye(subjects)[row], codes[column]])
    y = ratings[row, column]
    inverse = np.linalg.inv(design.T @ design)
    found = inverse @ design.T @ y
    df = len(y) - design.shape[1]
    variance = ((y - design @ found) ** 2).sum() / df
    errors = np.sqrt(variance * np.diag(inverse))
    return found[:subjects], found[subjects:], errors[subjects:], variance


# Most designs drawn leave a rater alone or no degree of freedom, and are passed over.
@settings(suppress_health_check=[HealthCheck.filter_too_much])
@given(RATINGS)
def test_effects_and_errors_agree_with_ordinary_least_squares(ratings):
    seen = ~np.isnan(ratings)
    assume(seen.any(axis=1).all() and seen.any(axis=0).all())
    assume(len(set(islands(seen).tolist())) == 1)
    assume(seen.sum() > sum(ratings.shape) - 1)
    means, effects, errors, variance = by_dummy_columns(ratings)
    assume(variance > 1e-6)
    found = fit(ratings)
    got = [rater.effect.value for rater in found.raters]
    assert_allclose(got[:-1], effects, atol=1e-7)
    assert_allclose(sum(got), 0, atol=1e-9)
    got = [rater.standard_error.value for rater in found.raters]
    assert_allclose(got[:-1], errors, atol=1e-7)
    assert_allclose(found.residual_variance.value, variance, atol=1e-7)
    assert_allclose([mean.value for mean in found.adjusted_means], means, atol=1e-7)


def test_raters_joined_by_a_chain_of_subjects_are_one_island():
    chain = np.eye(9, 8, dtype=bool) | np.eye(9, 8, k=-1, dtype=bool)
    assert set(islands(chain).tolist()) == {0}


def test_islands_are_named_and_leave_everything_undefined():
    nan = np.nan
    found = fit(np.array([[70, 76, nan, nan], [nan, nan, 80, 82], [nan, nan, 60, 66]]))
    reason = "raters that share no subject cannot be compared: P, Q; R, T"
    assert {rater.effect.reason for rater in found.raters} == {reason}
    assert {mean.reason for mean in found.adjusted_means} == {reason}
    assert found.residual_df.value is None
    assert [rater.mean for rater in found.raters] == [70, 76, 70, 74]


def test_no_residual_degrees_of_freedom_leave_effects_without_error():
    found = fit(np.array([[70.0, 76], [62, np.nan], [np.nan, 66]]))
    assert_allclose([rater.effect.value for rater in found.raters], [-3, 3])
    assert found.residual_df.value == 0
    assert "no residual degrees of freedom" in found.raters[0].standard_error.reason


def test_one_rater_cannot_be_compared():
    found = fit(np.array([[70.0], [62.0]]))
    assert (
        found.raters[0].effect.reason == "it needs two raters or more, but there is one"
    )
    assert found.raters[0].mean == 66


def test_nobody_rating_nothing_is_said():
    found = severity(np.zeros((0, 0)), [], [])
    assert found.residual_df.reason == "it needs two raters or more, but there is none"


def test_all_ratings_equal_have_no_effects_and_no_spread():
    found = fit(np.full((4, 2), 70.0))
    assert_allclose([rater.effect.value for rater in found.raters], [0, 0], atol=1e-12)
    assert found.residual_variance.value == 0


def test_raters_who_differ_by_a_constant_leave_no_residual():
    found = fit(np.array([[70.0, 76.3], [62.1, 68.4], [50.7, 57.0]]))
    assert found.residual_variance.value == 0
    assert_allclose(found.raters[1].effect.value, 3.15)
