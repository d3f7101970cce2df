import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy import stats
from statsmodels.stats import multitest
from statsmodels.stats import proportion as reference
from statsmodels.stats.contingency_tables import mcnemar

from grading.statistics import proportions


@st.composite
def events_of_n(draw, largest=300):
    n = draw(st.integers(1, largest))
    return draw(st.integers(0, n)), n


# Newcombe RG (1998) Stat Med 17:857, Table I, method 3
@pytest.mark.parametrize(
    ("events", "n", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_gives_the_limits_that_newcombe_prints(events, n, low, high):
    limits = proportions.wilson([events], [n])
    assert_allclose(np.ravel(limits), [low, high], atol=5e-5)


@given(events_of_n())
def test_wilson_agrees_with_statsmodels(drawn):
    limits = proportions.wilson(*drawn)
    expected = reference.proportion_confint(*drawn, method="wilson")
    assert_allclose(np.ravel(limits), expected, atol=1e-12)


def test_the_limit_at_0_of_n_is_exactly_0():
    low, _ = proportions.wilson([0, 0, 0], [1, 7, 11000])
    assert low.tolist() == [0.0, 0.0, 0.0]


def test_the_limit_at_n_of_n_is_exactly_1():
    _, high = proportions.wilson([1, 7, 11000], [1, 7, 11000])
    assert high.tolist() == [1.0, 1.0, 1.0]


def test_nothing_of_nothing_has_no_limits():
    low, high = proportions.wilson([0], [0])
    assert np.isnan(low[0])
    assert np.isnan(high[0])


# Newcombe RG (1998) Stat Med 17:873, Table II, method 10, contrasts a, b, d to h (f and h
# from memory)
@pytest.mark.parametrize(
    ("table", "low", "high"),
    [
        ((56, 70, 48, 80), 0.0524, 0.3339),
        ((9, 10, 3, 10), 0.1705, 0.8090),
        ((5, 56, 0, 29), -0.0381, 0.1926),
        ((0, 10, 0, 20), -0.1611, 0.2775),
        ((0, 10, 0, 10), -0.2775, 0.2775),
        ((10, 10, 0, 20), 0.6791, 1.0),
        ((10, 10, 0, 10), 0.6075, 1.0),
    ],
)
def test_newcombe_gives_the_limits_of_his_table(table, low, high):
    found = proportions.newcombe(*table)
    assert_allclose(np.ravel(found[1:]), [low, high], atol=5e-5)


@given(events_of_n(), events_of_n())
def test_newcombe_agrees_with_statsmodels(a, b):
    _, low, high = proportions.newcombe(*a, *b)
    expected = reference.confint_proportions_2indep(
        *a, *b, compare="diff", method="newcomb"
    )
    assert_allclose([low[0], high[0]], expected, atol=1e-9)


@given(events_of_n(), events_of_n())
def test_swapping_the_groups_turns_the_difference_round(a, b):
    one, low, high = proportions.newcombe(*a, *b)
    other, other_low, other_high = proportions.newcombe(*b, *a)
    assert_allclose([one, low, high], [-other, -other_high, -other_low], atol=1e-12)


# Altman DG and others (2000) Statistics with Confidence, 2nd ed., p. 52, table 6.2
# (14, 5, 0, 22: 12.2%, from 1.1% to 22.6%), from memory
def test_paired_newcombe_gives_the_limits_that_altman_works_out():
    found = proportions.newcombe_paired([14], [5], [0], [22])
    assert_allclose(np.ravel(found), [0.122, 0.011, 0.226], atol=5e-4)


@pytest.mark.parametrize("table", [(5, 0, 0, 5), (9, 0, 0, 0), (0, 0, 0, 9)])
def test_pairs_that_never_differ_have_an_interval_round_zero(table):
    difference, low, high = proportions.newcombe_paired(*table)
    assert difference[0] == 0
    assert low[0] < 0 < high[0]
    assert_allclose(low, -high, atol=1e-12)


FOUR = st.tuples(*[st.integers(0, 60)] * 4).filter(any)


@given(FOUR)
def test_paired_limits_hold_the_difference(table):
    difference, low, high = proportions.newcombe_paired(*table)
    assert -1 <= low[0] <= difference[0] <= high[0] <= 1


@given(FOUR)
def test_turning_the_pairs_round_turns_the_difference_round(table):
    both, first, second, neither = table
    one, low, high = proportions.newcombe_paired(both, first, second, neither)
    other, other_low, other_high = proportions.newcombe_paired(
        both, second, first, neither
    )
    assert_allclose([one, low, high], [-other, -other_high, -other_low], atol=1e-12)


# Fisher RA (1935) The Design of Experiments, ch. 2: 34/70; Fisher RA (1962), convicted
# twins, as R's fisher.test prints it: 0.0005367
@pytest.mark.parametrize(
    ("table", "p"), [((3, 4, 1, 4), 34 / 70), ((10, 13, 2, 17), 0.0005367241)]
)
def test_fisher_gives_the_p_of_published_tables(table, p):
    assert_allclose(proportions.fisher_exact(*table), [p], atol=1e-9)


@given(events_of_n(), events_of_n())
def test_fisher_agrees_with_scipy(a, b):
    table = [[a[0], a[1] - a[0]], [b[0], b[1] - b[0]]]
    expected = stats.fisher_exact(table).pvalue
    assert_allclose(proportions.fisher_exact(*a, *b), [expected], rtol=1e-6, atol=1e-12)


@given(st.lists(st.tuples(events_of_n(30), events_of_n(30)), min_size=1, max_size=8))
def test_elements_tested_together_get_what_each_gets_alone(drawn):
    columns = np.array([[*a, *b] for a, b in drawn]).T
    alone = [proportions.fisher_exact(*a, *b)[0] for a, b in drawn]
    assert_allclose(proportions.fisher_exact(*columns), alone, rtol=1e-9)


def test_a_side_without_marks_has_no_p():
    assert np.isnan(proportions.fisher_exact([2, 0], [4, 0], [0, 2], [0, 4])).all()


# Bentur and others (2009) in Fagerland MW and others (2013) BMC Med Res Methodol 13:91
def test_mcnemar_gives_the_p_of_a_published_table():
    assert_allclose(proportions.mcnemar_exact([1], [7]), [0.0703125], atol=1e-12)


@given(st.integers(0, 400), st.integers(0, 400))
def test_mcnemar_agrees_with_statsmodels(b, c):
    expected = mcnemar([[0, b], [c, 0]], exact=True).pvalue if b + c else 1.0
    assert_allclose(proportions.mcnemar_exact(b, c), [expected], rtol=1e-8)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=40))
def test_q_agrees_with_statsmodels(p):
    expected = multitest.multipletests(p, method="fdr_bh")[1]
    assert_allclose(proportions.benjamini_hochberg(p), expected, atol=1e-12)


def test_an_element_without_p_does_not_count_among_those_corrected_for():
    q = proportions.benjamini_hochberg([np.nan, 0.02, np.nan, 0.5])
    assert_allclose(q, [np.nan, 0.04, np.nan, 0.5])
