import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy import stats

from grading.statistics.chart import TAILS, chart

GROUPS = st.lists(
    st.integers(1, 400).flatmap(lambda n: st.tuples(st.just(n), st.integers(0, n))),
    min_size=1,
    max_size=6,
)


def charted(groups):
    n, count = zip(*groups, strict=True)
    return chart(n, count)


# Montgomery DC, Introduction to Statistical Quality Control, frozen orange juice, trial
# limits: 30 samples of 50, 347 cans nonconforming: centre 0.2313, limits 0.0524 and 0.4102
def test_the_p_chart_has_the_limits_that_montgomery_prints():
    found = chart([50] * 30, [347 - 29 * 11] + [11] * 29)
    assert_allclose(found.center.value, 0.2313, atol=5e-5)
    assert_allclose([found.low_3sd[0], found.high_3sd[0]], [0.0524, 0.4102], atol=5e-5)


@given(GROUPS)
@settings(max_examples=30)
def test_the_funnel_interpolates_at_the_binomial_quantile(groups):
    found = charted(groups)
    p = found.center.value
    assume(0 < p < 1)
    for i, (n, _) in enumerate(groups):
        up_to = stats.binom.cdf(np.arange(n + 1), n, p)
        exactly = stats.binom.pmf(np.arange(n + 1), n, p)
        for name, tail in TAILS.items():
            r = int(np.argmax(up_to > tail))
            limit = (r - (up_to[r] - tail) / exactly[r]) / n
            assert_allclose(getattr(found, name)[i], min(1, max(0, limit)), atol=1e-8)


@given(GROUPS)
def test_limits_are_rates_and_wider_ones_hold_narrower_ones(groups):
    found = charted(groups)
    for low, high in (("low_95", "high_95"), ("low_998", "high_998")):
        assert ((getattr(found, low) >= 0) & (getattr(found, high) <= 1)).all()
        assert (getattr(found, low) <= getattr(found, high)).all()
    assert (found.low_998 <= found.low_95).all()
    assert (found.high_998 >= found.high_95).all()
    assert set(found.outside_998) <= set(found.outside_95)


def test_a_group_of_a_million_is_charted_as_quickly_as_one_of_ten():
    found = chart([1_000_000_000, 10], [500_000_000, 5])
    assert_allclose(found.low_95[0], 0.5 - 1.96 * 0.5 / 1e9**0.5, atol=1e-6)


def test_a_rate_on_its_limit_is_not_outside():
    # centre 1/2, n = 36: limits 1/2 -+ 3 x 1/12, the rates 1/4 and 3/4 lie on them
    found = chart([36, 36], [9, 27])
    assert_allclose([found.low_3sd[0], found.high_3sd[0]], [0.25, 0.75])
    assert found.outside_3sd == ()


@pytest.mark.parametrize("rate", [0, 1])
def test_no_event_or_nothing_else_leaves_nobody_outside(rate):
    found = chart([20, 1], [20 * rate, rate])
    assert found.low_3sd.tolist() == found.high_95.tolist() == [rate, rate]
    assert found.outside_3sd == found.outside_95 == found.outside_998 == ()


def test_a_group_of_nobody_has_no_rate_and_no_limits():
    found = chart([20, 0], [5, 0])
    assert np.isnan([found.rate[1], found.low_3sd[1], found.high_998[1]]).all()
    assert found.center.value == 0.25


def test_nobody_at_all_has_no_centre():
    for found in (chart([0, 0], [0, 0]), chart([], [])):
        assert found.center.reason == "no group has any n"
        assert found.outside_95 == ()


@pytest.mark.parametrize("count", [-1, 5])
def test_a_count_that_cannot_be_is_refused(count):
    with pytest.raises(ValueError, match="a count must be 0 to its n"):
        chart([4], [count])
