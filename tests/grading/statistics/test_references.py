"""Our figures against those of other libraries, on random designs.

scikit-learn and krippendorff run here. pingouin and irrCAC do not (one brings a plotting
library with all its kin, the other an old scipy): what they gave for drawn designs is
kept in fixtures/checks/references.json, with their versions.
"""

import json

import krippendorff
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose
from sklearn.linear_model import LinearRegression
from sklearn.metrics import cohen_kappa_score

from grading.statistics.agreement import agreement
from grading.statistics.intraclass import intraclass
from grading.statistics.items import items
from grading.statistics.passmark.borderline import borderline_regression
from grading.statistics.severity import severity
from tests.project.tree import ROOT

KEPT = json.loads((ROOT / "fixtures/checks/references.json").read_text("utf-8"))
PAIRS = arrays(
    np.int64, st.tuples(st.integers(2, 9), st.just(2)), elements=st.integers(0, 3)
)
HOLES = arrays(
    np.int64,
    st.tuples(st.integers(2, 9), st.integers(2, 5)),
    elements=st.integers(-1, 3),
)
SCORES = arrays(
    np.float64,
    st.tuples(st.integers(3, 12), st.integers(2, 5)),
    elements=st.integers(0, 20).map(float),
)


@given(PAIRS)
def test_kappas_are_those_of_scikit_learn(ratings):
    assume(len(np.unique(ratings)) > 1)
    found = agreement(ratings, 4)
    for name, weights in (
        ("cohens_kappa", None),
        ("weighted_kappa_linear", "linear"),
        ("weighted_kappa_quadratic", "quadratic"),
    ):
        expected = cohen_kappa_score(*ratings.T, labels=range(4), weights=weights)
        assert_allclose(getattr(found, name).value, expected, atol=1e-9)


@pytest.mark.parametrize("level", ["nominal", "ordinal", "interval"])
@given(ratings=HOLES)
def test_alpha_is_that_of_krippendorffs_library(level, ratings):
    paired = ratings[(ratings >= 0).sum(axis=1) > 1]
    assume(len(np.unique(paired[paired >= 0])) > 1)
    found = agreement(ratings, 4, ordered=True)
    expected = krippendorff.alpha(
        reliability_data=np.where(paired < 0, np.nan, paired).T,
        value_domain=range(4),
        level_of_measurement=level,
    )
    figure = getattr(found, f"krippendorff_alpha_{level}")
    assert_allclose(figure.value, expected, atol=1e-9)


@pytest.mark.parametrize("design", KEPT["nominal"])
def test_agreement_is_that_of_irrcac(design):
    ratings = np.array(design["ratings"])
    seen = np.unique(ratings[ratings >= 0])
    found = agreement(
        np.where(ratings < 0, -1, np.searchsorted(seen, ratings)), len(seen)
    )
    names = ("percent_agreement", "gwet_ac1", "krippendorff_alpha_nominal")
    for name in names + ("fleiss_kappa",) * (design["fleiss_kappa"] is not None):
        assert_allclose(getattr(found, name).value, design[name], atol=1e-9)


@pytest.mark.parametrize("design", KEPT["numeric"])
def test_correlations_and_their_limits_are_those_of_pingouin(design):
    found = intraclass(np.array(design["scores"]))
    for name, value in design["icc"].items():
        figure = getattr(found, name)
        assert_allclose(figure.value, value, atol=1e-9)
        limits = figure.low, figure.high  # pingouin rounds them to two places
        assert_allclose(limits, design["icc_limits"][name], atol=0.005001)


@pytest.mark.parametrize("design", KEPT["numeric"])
def test_alpha_and_its_limits_are_those_of_pingouin(design):
    scores = np.array(design["scores"])
    found = items(scores / 100, np.full(scores.shape[1], 100.0)).cronbach_alpha
    assert_allclose(found.value, design["cronbach_alpha"], atol=1e-9)
    assert_allclose((found.low, found.high), design["alpha_limits"], atol=0.000501)


# Hoyt C (1941) Psychometrika 6:153: alpha of the elements is the consistency of their
# mean, the elements taken as raters; Feldt's limits are then those of ICC(3,k).
@given(SCORES)
def test_alpha_is_the_consistency_of_the_mean_of_the_elements(scores):
    assume(scores.sum(axis=1).var() > 1e-6)
    alpha = items(scores / 20, np.full(scores.shape[1], 20.0)).cronbach_alpha
    icc = intraclass(scores).icc_3_k
    assume(icc.value is not None and alpha.value is not None)
    assert_allclose(alpha.value, icc.value, atol=1e-8)
    if alpha.low is not None and icc.low is not None:
        assert_allclose((alpha.low, alpha.high), (icc.low, icc.high), atol=1e-7)


@given(SCORES)
def test_severity_is_least_squares_as_scikit_learn_does_it(scores):
    n, k = scores.shape
    subject, rater = np.eye(n).repeat(k, axis=0), np.tile(np.eye(k), (n, 1))
    design = np.hstack([subject, rater[:, :-1] - rater[:, -1:]])
    fit = LinearRegression(fit_intercept=False).fit(design, scores.ravel())
    found = severity(scores, [f"s{i}" for i in range(n)], [f"r{j}" for j in range(k)])
    effects = [own.effect.value for own in found.raters[:-1]]
    means = [mean.value for mean in found.adjusted_means]
    assert_allclose([*means, *effects], fit.coef_, atol=1e-7)


@given(arrays(np.float64, (12, 2), elements=st.integers(0, 100).map(float)))
def test_borderline_regression_is_that_of_scikit_learn(table):
    percents, ratings = table[:, 0], table[:, 1] // 20
    assume(ratings.min() < ratings.max() and percents.min() < percents.max())
    fit = LinearRegression().fit(ratings[:, None], percents)
    found = borderline_regression(percents, ratings, 2.0)
    assert_allclose(found.pass_mark.value, fit.predict([[2.0]])[0], atol=1e-7)
    expected = fit.score(ratings[:, None], percents)
    assert_allclose(found.r_squared.value, expected, atol=1e-7)
