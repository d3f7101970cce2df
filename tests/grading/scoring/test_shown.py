"""Figures as shown, and as written in JSON."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.scoring import points_shown, score, shown, time_shown
from grading.scoring.shown import Limit, number
from tests.grading.scoring.rubrics import cap, element, rubric, sheet

PASS_75 = Limit("at_least", Fraction(75))
CAP_60 = Limit("at_most", Fraction(60))


@pytest.mark.parametrize(
    ("percent", "text"),
    [
        ("0", "0.0"),
        ("100", "100.0"),
        ("83.3333", "83.3"),
        ("0.05", "0.1"),
        ("66.65", "66.7"),
        ("66.649", "66.6"),
        ("9.96", "10.0"),
    ],
)
def test_percent_is_shown_half_up_to_one_decimal(percent, text):
    assert shown(Fraction(percent)) == text


# percent, limits, as shown
AT_A_LIMIT = [
    ("74.96", [PASS_75], "74.96"),  # the contract's own example
    ("74.94", [PASS_75], "74.9"),
    ("74.999", [PASS_75], "74.999"),
    ("74.9996", [PASS_75], "74.9996"),
    ("75", [PASS_75], "75.0"),
    ("75.04", [PASS_75], "75.0"),
    ("60.04", [CAP_60], "60.04"),
    ("60.06", [CAP_60], "60.1"),
    ("59.96", [CAP_60], "60.0"),
    ("66.64", [Limit("at_least", Fraction("66.64"))], "66.64"),
    ("66.66", [Limit("at_most", Fraction("66.66"))], "66.66"),
    ("74.96", [PASS_75, CAP_60], "74.96"),
]


@pytest.mark.parametrize(("percent", "limits", "text"), AT_A_LIMIT)
def test_a_shown_figure_stays_on_its_side_of_every_limit(percent, limits, text):
    assert shown(Fraction(percent), limits) == text


def test_a_limit_that_no_decimals_show_is_met_by_itself():
    third = Fraction(100, 3)
    assert shown(third, [Limit("at_least", third)]) == "33.3"


@given(
    st.fractions(0, 100),
    st.decimals(0, 100, places=2).map(Fraction),
    st.sampled_from(["at_least", "at_most"]),
)
def test_no_figure_ever_contradicts_its_limit(percent, value, kind):
    limit = Limit(kind, value)
    for text in (shown(percent, [limit]), number(percent, [limit])):
        if kind == "at_least":
            assert (Fraction(text) >= value) == (percent >= value)
        else:
            assert (Fraction(text) <= value) == (percent <= value)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "0"),
        (Fraction(6), "6"),
        (Fraction(9, 2), "4.5"),
        (Fraction(1, 1024), "0.0009765625"),
        (Fraction(2, 3), "0.6666666667"),
        (Fraction(200, 3), "66.66666667"),
        (Fraction(1, 3000), "0.0003333333333"),
    ],
)
def test_a_number_is_exact_where_it_ends_else_ten_digits(value, text):
    assert number(value) == text


def test_a_number_has_more_digits_where_ten_would_cross_a_limit():
    just_below = Fraction(75) - Fraction(1, 3 * 10**12)
    assert number(just_below) == "75.00000000"
    assert number(just_below, [PASS_75]) == "74.9999999999997"


@pytest.mark.parametrize(
    ("points", "text"),
    [("3", "3"), ("2.50", "2.5"), ("0.125", "0.125"), ("8/3", "2.67"), ("0", "0")],
)
def test_points_have_no_trailing_zeros(points, text):
    assert points_shown(Fraction(points)) == text


def test_shared_points_that_round_to_a_whole_have_no_point():
    assert points_shown(Fraction(2999, 1000) + Fraction(1, 3000)) == "3"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [("0", "0:00"), ("59.99", "0:59"), ("61", "1:01"), ("3725", "62:05")],
)
def test_a_moment_is_minutes_and_seconds(seconds, text):
    assert time_shown(Decimal(seconds)) == text


def test_a_result_just_below_the_pass_mark_is_not_shown_as_the_pass_mark():
    definition = rubric(element("a", "74.96"), element("b", "25.04"), pass_percent=75)
    result = score(definition, sheet("a:done b:missed"))
    assert (result.percent_shown, result.outcome) == ("74.96", "not_yet")
    assert result.range.best.percent_shown == "74.96"


def test_a_capped_result_is_not_shown_above_its_cap():
    definition = rubric("a", element("b", 0, critical=cap("66.66")))
    assert score(definition, sheet("a:done b:missed")).percent_shown == "66.66"


def test_a_section_just_below_its_minimum_is_not_shown_as_the_minimum():
    definition = rubric(
        element("a", "49.96"), element("b", "50.04"), minimum=Fraction(50)
    )
    section = score(definition, sheet("a:done b:missed")).sections[0]
    assert (section.percent_shown, section.minimum_met) == ("49.96", False)
    assert score(definition, sheet()).sections[0].percent_shown is None
