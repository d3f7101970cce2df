"""The order of outcomes, step by step, and the best and worst case."""

import gc
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from grading.scoring import Ruling, Sheet, Sighting, score
from grading.scoring import compile as compiling
from rubric.definition.values import GlobalRating
from tests.grading.scoring.rubrics import (
    FAIL,
    FLAG,
    at_least,
    before,
    cap,
    deduct,
    element,
    hazard,
    levels,
    rubric,
    sheet,
    within,
)


def kinds(result):
    return [reason.kind for reason in result.reasons]


def test_step_1_waits_for_the_global_rating():
    definition = rubric("a", global_rating=GlobalRating(("x", "y", "z"), 2))
    waiting = score(definition, sheet("a:done"))
    assert (waiting.outcome, kinds(waiting)) == ("incomplete", ["global_rating"])
    assert waiting.open.global_rating
    assert score(definition, sheet("a:done", global_rating=1)).outcome == "pass"


def test_the_global_rating_never_enters_the_score():
    definition = rubric("a", global_rating=GlobalRating(("x", "y", "z"), 2))
    low, high = (score(definition, sheet("a:partly", global_rating=r)) for r in (1, 3))
    assert low == high


def test_step_1_goes_before_a_failure():
    definition = rubric(element("a", critical=FAIL), "b")
    result = score(definition, sheet("a:missed"))
    assert (result.outcome, kinds(result)) == ("incomplete", ["open"])
    assert result.checks[0].result == "violated"


def test_step_2_goes_before_nothing_possible():
    definition = rubric(element("a", 0, critical=FAIL))
    result = score(definition, sheet("a:missed"))
    assert (result.outcome, kinds(result)) == ("not_yet", ["critical"])


def test_step_3_nothing_possible_cannot_be_judged():
    result = score(rubric("a", "b"), sheet("a:excused b:unseen"))
    assert (result.outcome, kinds(result)) == ("cannot_be_judged", ["possible"])
    assert (result.raw, result.percent, result.percent_shown) == (None, None, None)
    assert [result.range.worst.percent, result.range.best.percent] == [0, 100]


def test_a_deduction_with_nothing_possible_leaves_no_percent():
    definition = rubric(
        element("a", 0, critical=deduct(5)), element("b", 0, critical=cap(60))
    )
    result = score(definition, sheet("a:missed b:missed"))
    assert (result.percent, result.deducted, result.cap) == (None, 5, 60)
    assert result.outcome == "cannot_be_judged"


def test_a_case_in_which_a_fail_is_in_force_is_not_a_pass():
    definition = rubric("a", element("b", 0, critical=FAIL))
    unseen = score(definition, sheet("a:done b:unseen")).range
    assert (unseen.worst.outcome, unseen.best.outcome) == ("not_yet", "pass")
    assert (unseen.worst.percent, unseen.differ) == (100, True)
    missed = score(definition, sheet("a:done b:missed")).range
    assert (missed.worst.outcome, missed.best.outcome) == ("not_yet", "not_yet")


def test_a_case_with_nothing_possible_is_not_a_pass():
    cases = score(rubric("a"), sheet("a:excused")).range
    assert not cases.differ
    assert (cases.best.percent, cases.best.percent_shown) == (None, None)
    assert cases.best.outcome == "not_yet"


def test_step_4_goes_before_doubt():
    definition = rubric("a", element("b", critical=FAIL), "c", pass_percent=80)
    result = score(definition, sheet("a:missed b:unseen c:done"))
    assert (result.outcome, kinds(result)) == ("not_yet", ["best_case", "percent"])


def test_step_4_counts_a_section_below_its_minimum_in_the_best_case():
    definition = rubric("a", "b", "c", "d", pass_percent=0, minimum=Fraction(60))
    result = score(definition, sheet("a:done b:missed c:missed d:unseen"))
    assert result.range.best.percent == 50
    assert (result.outcome, kinds(result)) == ("not_yet", ["best_case", "section"])


@pytest.mark.parametrize(
    ("effect", "outcome"),
    [
        (FAIL, "cannot_be_judged"),
        (cap(60), "cannot_be_judged"),
        (deduct(5), "pass"),
        (FLAG, "pass"),
    ],
)
def test_step_5_doubts_a_check_that_could_fail_or_cap(effect, outcome):
    definition = rubric("a", element("b", 0, critical=effect))
    assert score(definition, sheet("a:done b:unseen")).outcome == outcome


def test_step_5_doubts_an_order_that_the_marker_cannot_tell():
    definition = rubric("a", "b", rules=(before("a", "b", effect=FAIL),))
    rulings = (Ruling("order", "cannot_tell"),)
    result = score(definition, sheet("a:done b:done", rulings=rulings))
    assert (result.outcome, kinds(result)) == ("cannot_be_judged", ["before"])


def test_a_length_that_is_not_known_leaves_no_doubt():
    definition = rubric("a", rules=(within(effect=FAIL),))
    result = score(definition, sheet("a:done"))
    assert (result.checks[0].result, result.outcome) == ("not_checked", "pass")


def test_step_5_lets_unseen_points_reach_the_limit_but_not_exceed_it():
    nine = " ".join(f"{key}:done" for key in "abcdefghi")
    at_limit = rubric(*"abcdefghi", "z")
    assert score(at_limit, sheet(f"{nine} z:unseen")).outcome == "pass"
    above = rubric(*"abcdefghi", element("z", "1.01"))
    result = score(above, sheet(f"{nine} z:unseen"))
    assert (result.outcome, kinds(result)) == ("cannot_be_judged", ["unseen_limit"])


def test_excused_points_are_left_out_of_the_unseen_limit():
    definition = rubric(*"abc", element("d", 5), unseen_limit_percent=Fraction(30))
    states = "a:done b:done c:unseen d:"
    assert score(definition, sheet(states + "done")).outcome == "pass"
    assert score(definition, sheet(states + "excused")).outcome == "cannot_be_judged"


def test_step_5_asks_the_worst_case_where_the_rubric_says_range():
    states = "a:done b:done c:done d:unseen"
    more = {"pass_percent": 80, "unseen_limit_percent": Fraction(100)}
    excluded = score(rubric(*"abcd", **more), sheet(states))
    assert excluded.outcome == "pass"
    ranged = score(rubric(*"abcd", unseen="range", **more), sheet(states))
    assert (ranged.outcome, kinds(ranged)) == ("cannot_be_judged", ["worst_case"])


@pytest.mark.parametrize(
    ("pass_percent", "outcome"), [("75", "pass"), ("75.000001", "not_yet")]
)
def test_step_6_lets_percent_reach_the_pass_mark_exactly(pass_percent, outcome):
    definition = rubric(*"abcd", pass_percent=Fraction(pass_percent))
    assert score(definition, sheet("a:done b:done c:done d:said")).outcome == outcome


def test_step_6_decides_where_only_the_best_case_would_be_a_pass():
    definition = rubric(
        "a", "b", "c", pass_percent=60, unseen_limit_percent=Fraction(50)
    )
    result = score(definition, sheet("a:done b:missed c:unseen"))
    assert result.range.best.outcome == "pass"
    assert (result.outcome, kinds(result)) == ("not_yet", ["percent"])


@pytest.mark.parametrize(("minimum", "outcome"), [("50", "pass"), ("50.1", "not_yet")])
def test_step_6_lets_a_section_reach_its_minimum_exactly(minimum, outcome):
    definition = rubric("a", "b", minimum=Fraction(minimum))
    result = score(definition, sheet("a:done b:missed"))
    assert result.outcome == outcome
    assert result.sections[0].minimum_met == (outcome == "pass")


def two_sections(minimum):
    """`a` with the minimum, then `b` and `c` without."""
    first, then = rubric("a", minimum=minimum), rubric("b", "c")
    return replace(first, sections=first.sections + then.sections)


def test_step_6_asks_every_section_for_its_minimum():
    result = score(two_sections(Fraction(60)), sheet("a:partly b:done c:done"))
    assert (result.outcome, kinds(result)) == ("not_yet", ["section"])


def test_step_6_skips_a_section_with_nothing_possible():
    result = score(two_sections(Fraction(60)), sheet("a:excused b:done c:done"))
    assert (result.sections[0].minimum_met, result.outcome) == (None, "pass")


def test_the_best_and_worst_case_take_the_top_and_the_lowest_level():
    definition = rubric("a", element("b", levels=levels("0.2", "0.5", "0.8")))
    cases = score(definition, sheet("a:done b:unseen")).range
    assert (cases.worst.percent, cases.best.percent) == (60, 90)


def test_a_case_reads_critical_elements_and_counts_anew():
    definition = rubric(
        "a",
        element("b", 0, critical=deduct(30)),
        element("c", 0),
        rules=(at_least(2, *"ac", effect=cap(40)),),
    )
    cases = score(definition, sheet("a:done b:unseen c:unseen")).range
    assert (cases.worst.percent, cases.worst.cap) == (40, 40)
    assert (cases.best.percent, cases.best.cap) == (100, None)


def test_a_ruling_stays_in_every_case():
    rule = before("a", "b", effect=deduct(30))
    definition = rubric("a", "b", "c", rules=(rule,))
    rulings = (Ruling("order", "violated"),)
    result = score(definition, sheet("a:done b:unseen c:done", rulings=rulings))
    assert (result.range.worst.percent, result.range.best.percent) == (
        Fraction(200, 3) - 30,
        70,
    )


def test_what_is_filled_in_has_no_part_in_an_order():
    # b and c were not seen; a done b would stand before c, were it timed
    rule = before("a b", "c", effect=FAIL)
    definition = rubric("a", "b", "c", "d", rules=(rule,))
    cases = score(definition, sheet("a:done@9 b:unseen c:unseen d:done")).range
    assert cases.best.outcome == "pass"


def test_an_incomplete_sheet_has_the_figures_of_the_marks_so_far():
    definition = rubric("a", "b", "c", element("d", critical=deduct(5)))
    result = score(definition, sheet("a:done b:partly d:missed"))
    assert (result.possible, result.earned) == (3, Fraction("1.5"))
    assert (result.raw, result.deducted) == (50, 5)
    assert (result.percent, result.percent_shown, result.range) == (None, None, None)
    assert result.open.elements == ("c",)


def test_an_empty_sheet_has_no_raw_percent_yet():
    result = score(rubric("a", "b"), Sheet())
    assert (result.possible, result.raw) == (0, None)
    assert result.sections[0].percent is None


def test_confirmations_and_rulings_are_awaited_under_their_keys():
    definition = rubric(
        "a", "b", rules=(before("a", "b", effect=FAIL), hazard(deduct(5)))
    )
    doubted = (Sighting("harm", Decimal(3), confirmed=False),)
    result = score(definition, sheet("a:done b:done", hazards=doubted))
    assert (result.open.rulings, result.open.confirmations) == (("order",), ("harm",))
    assert kinds(result) == ["ruling", "confirmation"]


def test_a_plan_is_let_go_with_its_definition():
    definition = rubric("a")
    score(definition, Sheet())
    name = id(definition)
    assert name in compiling._plans
    del definition
    gc.collect()
    assert name not in compiling._plans
