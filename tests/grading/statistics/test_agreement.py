import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose
from statsmodels.stats import inter_rater

from grading.statistics import resample
from grading.statistics.agreement import METHODS, agreement

# under ten subjects, where no limits are resampled: that is what takes the time
PAIRS = arrays(
    np.int64, st.tuples(st.integers(2, 9), st.just(2)), elements=st.integers(0, 3)
)
SQUARES = arrays(
    np.int64,
    st.tuples(st.integers(2, 9), st.integers(2, 5)),
    elements=st.integers(0, 3),
)
HOLES = arrays(
    np.int64,
    st.tuples(st.integers(2, 9), st.integers(2, 5)),
    elements=st.integers(-1, 3),
)


def values(found):
    return {name: getattr(found, name).value for name in METHODS}


def mixed(ratings):
    assume(len(np.unique(ratings[ratings >= 0])) > 1)
    return ratings


@given(PAIRS)
def test_kappas_agree_with_statsmodels(ratings):
    found = agreement(mixed(ratings), 4)
    table = np.zeros((4, 4))
    np.add.at(table, tuple(ratings.T), 1)
    expected = [
        inter_rater.cohens_kappa(table, weights=weights, return_results=False)
        for weights in (
            None,
            np.arange(4.0),
            (np.arange(4.0)[:, None] - np.arange(4)) ** 2,
        )
    ]
    got = [
        found.cohens_kappa.value,
        found.weighted_kappa_linear.value,
        found.weighted_kappa_quadratic.value,
    ]
    assert_allclose(got, expected, atol=1e-9)


@given(SQUARES)
def test_fleiss_kappa_agrees_with_statsmodels(ratings):
    found = agreement(mixed(ratings), 4).fleiss_kappa.value
    expected = inter_rater.fleiss_kappa(inter_rater.aggregate_raters(ratings, 4)[0])
    assert_allclose(found, expected, atol=1e-9)


def alpha_by_coincidences(ratings, distance):
    """Krippendorff K (2011), section C: from the matrix of coincidences, pair by pair."""
    pairs = np.zeros((4, 4))
    for row in ratings:
        own = row[row >= 0]
        for i, one in enumerate(own):
            for j, other in enumerate(own):
                if i != j:
                    pairs[one, other] += 1 / (len(own) - 1)
    totals = pairs.sum(axis=0)
    n = totals.sum()
    square = np.array(
        [[distance(c, k, totals) ** 2 for k in range(4)] for c in range(4)]
    )
    chance = (np.outer(totals, totals) * square).sum() / (n - 1)
    return 1 - (pairs * square).sum() / chance if chance else None


DISTANCES = {
    "nominal": lambda c, k, totals: float(c != k),
    "interval": lambda c, k, totals: float(c - k),
    "ordinal": lambda c, k, totals: (
        totals[min(c, k) : max(c, k) + 1].sum() - (totals[c] + totals[k]) / 2
    ),
}


@pytest.mark.parametrize("level", DISTANCES)
@given(ratings=HOLES)
def test_alpha_agrees_with_its_definition(level, ratings):
    mixed(ratings)
    found = agreement(ratings, 4, ordered=True)
    figure = getattr(found, f"krippendorff_alpha_{level}")
    paired = ratings[(ratings >= 0).sum(axis=1) > 1]
    expected = alpha_by_coincidences(paired, DISTANCES[level]) if len(paired) else None
    if expected is None:
        assert figure.value is None
        assert figure.reason
    else:
        assert_allclose(figure.value, expected, atol=1e-9)


@given(SQUARES, st.permutations(range(4)))
def test_nominal_figures_do_not_depend_on_the_names_of_the_categories(ratings, names):
    one = agreement(mixed(ratings), 4)
    other = agreement(np.array(names)[ratings], 4)
    for name in (
        "cohens_kappa",
        "fleiss_kappa",
        "krippendorff_alpha_nominal",
        "gwet_ac1",
    ):
        got, expected = getattr(one, name).value, getattr(other, name).value
        assert (got is None) == (expected is None)
        assert got is None or abs(got - expected) < 1e-9


@given(HOLES, st.integers(0, 100))
def test_the_order_of_subjects_and_raters_does_not_matter(ratings, seed):
    rng = np.random.default_rng(seed)
    other = rng.permutation(rng.permutation(ratings), axis=1)
    one, two = values(agreement(ratings, 4)), values(agreement(other, 4))
    for name, value in one.items():
        assert (value is None) == (two[name] is None)
        assert value is None or abs(value - two[name]) < 1e-9


@given(PAIRS)
def test_alpha_of_two_raters_is_near_scotts_pi(ratings):
    """Alpha = pi + (1 - pi) / n for two raters without gaps: Krippendorff K (2004)."""
    found = agreement(mixed(ratings), 4).krippendorff_alpha_nominal.value
    pi = agreement(ratings, 4).fleiss_kappa.value
    assert_allclose(found, pi + (1 - pi) / ratings.size, atol=1e-9)


# Interval alpha takes the numbers, ordinal alpha their order: 1, 2 and 9 are three
# ratings in a row for the one, and two near and one far for the other.
def test_interval_alpha_takes_the_numbers_and_ordinal_alpha_the_order():
    ratings = np.array([[0, 0], [1, 0], [2, 2], [1, 1], [2, 1]])
    near = agreement(ratings, 3, numbers=np.array([1.0, 2.0, 3.0]))
    far = agreement(ratings, 3, numbers=np.array([1.0, 2.0, 9.0]))
    ordinal = [found.krippendorff_alpha_ordinal.value for found in (near, far)]
    assert ordinal[0] == ordinal[1]
    assert (
        near.krippendorff_alpha_interval.value > far.krippendorff_alpha_interval.value
    )


def test_the_limits_are_percentiles_over_resampled_subjects():
    ratings = np.random.default_rng(3).integers(0, 3, (30, 2))
    figure = agreement(ratings, 3).cohens_kappa
    drawn = []
    for subjects in np.random.default_rng(1).integers(0, 30, (2000, 30)):
        table = np.zeros((3, 3))
        np.add.at(table, tuple(ratings[subjects].T), 1)
        drawn.append(inter_rater.cohens_kappa(table, return_results=False))
    expected = np.percentile(drawn, [2.5, 97.5])
    assert_allclose([figure.low, figure.high], expected, atol=1e-9)


def test_resamples_are_the_same_however_they_are_parted(monkeypatch):
    whole = np.concatenate(list(resample.draws(7)))
    monkeypatch.setattr(resample, "CELLS", 91)
    assert (np.concatenate(list(resample.draws(7))) == whole).all()
    assert (whole == np.random.default_rng(1).integers(0, 7, (2000, 7))).all()


def test_every_coefficient_has_limits_from_ten_subjects_on():
    ratings = np.random.default_rng(3).integers(0, 3, (10, 2))
    found = agreement(ratings, 3, ordered=True)
    assert all(getattr(found, name).low is not None for name in METHODS)
    few = agreement(ratings[:9], 3, ordered=True)
    assert {getattr(few, name).low for name in METHODS} == {None}
    assert few.cohens_kappa.reason == "no interval under 10 subjects with two ratings"


def test_all_ratings_equal_leaves_only_percent_agreement():
    found = agreement(np.zeros((12, 3), dtype=int), 4, ordered=True)
    assert found.percent_agreement.value == 100
    assert {v for n, v in values(found).items() if n != "percent_agreement"} == {None}
    assert found.gwet_ac1.reason == "all ratings are equal"


def test_one_rater_agrees_with_nobody():
    found = agreement(np.array([[0], [1], [0]]), 2)
    assert set(values(found).values()) == {None}
    assert found.percent_agreement.reason == "no subject has two ratings"


def test_a_table_without_ratings_has_no_agreement():
    found = agreement(np.zeros((0, 0), dtype=int), 0)
    assert set(values(found).values()) == {None}


def test_a_missing_rating_leaves_cohens_and_fleiss_kappa_undefined():
    found = agreement(np.array([[0, 0], [1, -1], [1, 1]]), 2)
    for name in ("cohens_kappa", "weighted_kappa_linear", "fleiss_kappa"):
        reason = getattr(found, name).reason
        assert (
            reason
            == "it needs every rater's rating of every subject, but 1 are missing"
        )
    assert found.krippendorff_alpha_nominal.value == 1


def test_three_raters_have_no_cohens_kappa():
    found = agreement(np.array([[0, 0, 1], [1, 1, 1]]), 2)
    assert found.cohens_kappa.reason == "it needs two raters, but there are 3"


def test_ratings_without_order_have_no_ordinal_or_interval_alpha():
    found = agreement(np.array([[0, 0], [1, 0]]), 2)
    assert found.krippendorff_alpha_ordinal.value is None
    assert "no order" in found.krippendorff_alpha_interval.reason


def test_pairs_that_are_all_equal_have_no_alpha():
    found = agreement(np.array([[0, 0], [0, 0], [1, -1]]), 2)
    expected = "all ratings of subjects rated twice are equal"
    assert found.krippendorff_alpha_nominal.reason == expected


def test_a_position_out_of_range_is_refused():
    with pytest.raises(ValueError, match="a position must be -1 to 1"):
        agreement(np.array([[0, 2]]), 2)
