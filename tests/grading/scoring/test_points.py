"""Credit, points, deductions and caps."""

from fractions import Fraction

import pytest

from grading.scoring import Mark, Sheet, credit_of, earned, score
from rubric.definition.values import Credit, Grid, State, Technique
from tests.grading.scoring.rubrics import (
    FLAG,
    cap,
    deduct,
    element,
    levels,
    mark,
    rubric,
    sheet,
)


@pytest.mark.parametrize(
    ("state", "credit"),
    [("done", 1), ("partly", Fraction(1, 2)), ("said", 0), ("missed", 0)],
)
def test_a_state_earns_the_default_credit(state, credit):
    assert credit_of(rubric("a"), mark(f"a:{state}")) == credit


@pytest.mark.parametrize("state", ["unseen", "excused"])
def test_a_state_that_leaves_the_sum_has_neither_credit_nor_points(state):
    definition = rubric("a")
    assert credit_of(definition, mark(f"a:{state}")) is None
    assert earned(definition, mark(f"a:{state}")) is None


def test_a_rubrics_own_credit_goes_before_the_default():
    definition = rubric("a", credit=Credit(partly=Fraction(1, 4)))
    assert credit_of(definition, mark("a:partly")) == Fraction(1, 4)
    assert credit_of(definition, mark("a:said")) == 0


def test_an_elements_own_credit_goes_before_the_rubrics():
    own = element("a", 3, credit=Credit(said=Fraction(1)))
    definition = rubric(own, credit=Credit(said=Fraction(1, 4)))
    assert credit_of(definition, mark("a:said")) == 1
    assert earned(definition, mark("a:said")) == 3


def test_a_level_earns_its_own_credit():
    definition = rubric(element("a", 2, levels=levels(0, "0.3", 1)))
    assert earned(definition, mark("a:level2")) == Fraction("0.6")


@pytest.mark.parametrize(
    "wrong",
    [
        mark("b:done"),
        mark("a:level1"),
        mark("l:done"),
        mark("l:level3"),
        Mark("l", State.LEVEL),
    ],
    ids=str,
)
def test_a_mark_that_the_rubric_does_not_allow_is_refused(wrong):
    definition = rubric("a", element("l", levels=levels(0, 1)))
    with pytest.raises(ValueError, match="the rubric does not allow"):
        score(definition, Sheet(marks=(wrong,)))
    with pytest.raises(ValueError, match="the rubric does not allow"):
        credit_of(definition, wrong)


def test_an_element_marked_twice_is_refused():
    with pytest.raises(ValueError, match="marked twice"):
        score(rubric("a", "b"), sheet("a:done a:missed"))


def test_points_shared_over_three_elements_add_up_exactly():
    grid = Grid(
        "g",
        "Feels {site}",
        Technique.PALPATE,
        ("one", "two", "three"),
        points_shared=Fraction(4),
    )
    result = score(rubric(grid), sheet("g.one:done g.two:done g.three:missed"))
    assert (result.possible, result.earned) == (4, Fraction(8, 3))


def test_an_element_without_points_weighs_nothing():
    result = score(rubric("a", element("b", 0)), sheet("a:done b:missed"))
    assert (result.possible, result.percent) == (1, 100)


def test_unseen_and_excused_points_are_told_apart():
    definition = rubric("a", element("b", 2), element("c", "0.5"))
    result = score(definition, sheet("a:done b:unseen c:excused"))
    assert result.possible == 1
    assert (result.unseen_points, result.excused_points) == (2, Fraction("0.5"))


def test_deductions_add_up():
    definition = rubric(
        element("a", 0, critical=deduct(5)),
        element("b", 0, critical=deduct("2.5")),
        "c",
    )
    result = score(definition, sheet("a:missed b:missed c:done"))
    assert (result.raw, result.deducted, result.percent) == (
        100,
        Fraction("7.5"),
        Fraction("92.5"),
    )


def test_percent_never_falls_below_zero():
    definition = rubric(element("a", critical=deduct(80)), "b")
    assert score(definition, sheet("a:missed b:partly")).percent == 0


def test_the_smallest_cap_in_force_holds_after_deductions():
    definition = rubric(
        element("a", 0, critical=cap(60)),
        element("b", 0, critical=cap(70)),
        element("c", 0, critical=deduct(35)),
        "d",
    )
    capped = score(definition, sheet("a:missed b:missed c:done d:done"))
    assert (capped.cap, capped.percent) == (60, 60)
    lower = score(definition, sheet("a:done b:missed c:missed d:done"))
    assert (lower.cap, lower.percent) == (70, 65)


def test_a_flag_changes_nothing():
    definition = rubric(element("a", 0, critical=FLAG), "b")
    result = score(definition, sheet("a:missed b:done"))
    assert [check.result for check in result.checks] == ["violated"]
    assert (result.percent, result.outcome) == (100, "pass")


def test_sections_leave_deductions_out_and_judge_their_own_minimum():
    definition = rubric(
        "a", element("b", critical=deduct(30)), minimum=Fraction(50), pass_percent=10
    )
    result = score(definition, sheet("a:done b:missed"))
    section = result.sections[0]
    assert (section.percent, section.minimum_met) == (50, True)
    assert (result.percent, result.outcome) == (20, "pass")
