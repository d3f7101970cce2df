"""Critical elements and the four kinds of rule, at and around every bound."""

from decimal import Decimal
from fractions import Fraction

import pytest

from grading.scoring import Ruling, Sheet, Sighting, score
from rubric.definition.values import Grid, Technique
from tests.grading.scoring.rubrics import (
    FAIL,
    FLAG,
    at_least,
    before,
    deduct,
    element,
    hazard,
    levels,
    rubric,
    sheet,
    within,
)


def check_of(rule, states, elements="abcd", **more):
    definition = rubric(*elements, rules=(rule,))
    return score(definition, sheet(states, **more)).checks[-1]


@pytest.mark.parametrize(
    ("state", "result"),
    [
        ("done", "met"),
        ("partly", "met"),
        ("said", "violated"),
        ("missed", "violated"),
        ("unseen", "cannot_tell"),
        ("excused", "not_applicable"),
    ],
)
def test_a_critical_element_stands_as_its_mark_does(state, result):
    definition = rubric(element("a", critical=FAIL))
    check = score(definition, sheet(f"a:{state}@12")).checks[0]
    assert (check.key, check.kind, check.result) == ("a", "critical", result)
    known = result in ("violated", "cannot_tell")
    assert check.at == (Decimal(12) if known else None)


def test_a_critical_level_that_earns_nothing_is_an_omission():
    definition = rubric(element("a", critical=FAIL, levels=levels(0, "0.1")))
    results = [
        score(definition, sheet(f"a:{level}")).checks[0].result
        for level in ("level1", "level2")
    ]
    assert results == ["violated", "met"]


def test_a_critical_element_without_points_still_counts_as_performed():
    definition = rubric(element("a", 0, critical=FAIL), "b")
    result = score(definition, sheet("a:done b:done"))
    assert (result.checks[0].result, result.outcome) == ("met", "pass")


# states of a, b, c, d; what a count of 3 of the four comes to; whom to look at
COUNTS = [
    ("done done done missed", "met", ""),
    ("done done done unseen", "met", ""),
    ("done done partly said", "met", ""),
    ("done done unseen missed", "cannot_tell", "c"),
    ("done unseen unseen missed", "cannot_tell", "b c"),
    ("done done missed missed", "violated", "c d"),
    ("done unseen missed said", "violated", "c d"),
    ("done done done excused", "met", ""),
    ("done done missed excused", "violated", "c"),
    ("done done excused excused", "met", ""),
    ("done unseen excused excused", "cannot_tell", "b"),
    ("excused excused excused excused", "not_applicable", ""),
]


@pytest.mark.parametrize(("states", "result", "decisive"), COUNTS)
def test_a_count_is_lowered_by_excuses_and_held_open_by_the_unseen(
    states, result, decisive
):
    marks = " ".join(f"{k}:{s}" for k, s in zip("abcd", states.split(), strict=True))
    check = check_of(at_least(3, *"abcd"), marks)
    assert (check.result, " ".join(check.decisive)) == (result, decisive)
    excused = [k for k, s in zip("abcd", states.split(), strict=True) if s == "excused"]
    assert check.elements == tuple(k for k in "abcd" if k not in excused)


OPEN_COUNTS = [
    ("a:done b:done c:done", "met"),
    ("a:done b:done", "open"),
    ("a:missed", "open"),
    ("a:missed b:missed", "violated"),
    ("a:missed b:unseen", "open"),
    ("a:done b:unseen c:unseen", "cannot_tell"),
    ("a:done b:done c:unseen", "open"),
    ("", "open"),
]


@pytest.mark.parametrize(("states", "result"), OPEN_COUNTS)
def test_a_count_is_open_until_the_rest_cannot_change_it(states, result):
    assert check_of(at_least(3, *"abcd"), states).result == result


# `a b` before `c d`, slack 5
ORDERS = [
    ("a:done@1 b:done@2 c:done@3 d:done@4", "met", None),
    ("a:done@1 b:done@25 c:done@20 d:done@40", "met", None),
    ("a:done@1 b:done@25.1 c:done@20 d:done@40", "violated", "20"),
    ("a:done@90 b:missed@1 c:missed@1 d:done@20", "violated", "20"),
    ("a:done@90 b:done c:done@20 d:done@30", "not_checked", None),
    ("a:done@90 b:done@2 c:done@20 d:done", "not_checked", None),
    ("a:done@1 b:unseen c:done@20 d:done@30", "cannot_tell", None),
    ("a:done@1 b:done@2 c:unseen d:done@30", "cannot_tell", None),
    ("a:done@90 b:unseen c:done@20 d:done@30", "violated", "20"),
    ("a:unseen b:unseen c:done@20 d:done@30", "cannot_tell", None),
    ("a:missed b:said c:done@20 d:done@30", "not_applicable", None),
    ("a:done@1 b:done@2 c:missed d:excused", "not_applicable", None),
    ("a:excused b:excused c:done@20 d:done@30", "not_applicable", None),
    ("a:missed b:missed c:done d:done@30", "not_applicable", None),
]


@pytest.mark.parametrize(("states", "result", "at"), ORDERS)
def test_an_order_stands_as_the_times_say(states, result, at):
    check = check_of(before("a b", "c d"), states)
    assert (check.result, check.at) == (result, at and Decimal(at))


def test_a_violated_order_names_the_act_too_early_and_the_act_too_late():
    check = check_of(before("a b", "c d"), "a:done@30 b:done@90 c:done@40 d:done@20")
    assert check.decisive == ("d", "b")
    assert check.elements == tuple("abcd")


def test_a_slack_of_nothing_still_lets_both_happen_at_once():
    rule = before("a b", "c d", slack_seconds=Fraction(0))
    assert check_of(rule, "a:done@9 b:done@9 c:done@9 d:done@9").result == "met"


def test_times_are_compared_to_their_last_decimal():
    # 30 digits, more than a Decimal keeps in a subtraction.
    late = "15." + "0" * 27 + "1"
    rule = before("a b", "c d")
    states = f"a:done@1 b:done@{late} c:done@10 d:done@20"
    assert check_of(rule, states).result == "violated"


OPEN_ORDERS = [
    ("a:done@1 b:done@2 c:done@3", "open"),
    ("a:done@90 c:done@20", "violated"),
    ("a:done@90 b:done c:done@20", "open"),
    ("c:done@20 d:done@21", "open"),
    ("a:missed b:missed c:done@20", "not_applicable"),
    ("a:missed c:missed d:missed", "not_applicable"),
]


@pytest.mark.parametrize(("states", "result"), OPEN_ORDERS)
def test_an_order_is_open_until_violated_or_until_all_its_elements_are_marked(
    states, result
):
    assert check_of(before("a b", "c d"), states).result == result


@pytest.mark.parametrize("ruled", ["met", "violated", "cannot_tell"])
def test_a_ruling_replaces_what_the_times_say(ruled):
    rule = before("a b", "c d", effect=FAIL)
    late = "a:done@90 b:done@2 c:done@20 d:done@30"
    check = check_of(rule, late, rulings=(Ruling("order", ruled),))
    assert check.result == ruled
    assert check.at == (Decimal(20) if ruled == "violated" else None)


def test_a_ruling_does_not_make_an_order_of_what_was_not_done():
    rule = before("a b", "c d", effect=FAIL)
    rulings = (Ruling("order", "violated"),)
    nothing = "a:missed b:missed c:done@20 d:done@30"
    assert check_of(rule, nothing, rulings=rulings).result == "not_applicable"
    waiting = "a:missed c:done@20 d:done@30"
    assert check_of(rule, waiting, rulings=rulings).result == "open"


def test_a_ruling_stands_though_some_elements_have_no_state_yet():
    rule = before("a b", "c d", effect=FAIL)
    rulings = (Ruling("order", "met"),)
    assert check_of(rule, "a:done@90 c:done@20", rulings=rulings).result == "met"


@pytest.mark.parametrize("c", ["c:done@20", "c:done"])
def test_an_order_with_an_effect_awaits_a_ruling_where_the_times_do_not_settle_it(c):
    states = f"a:done@90 b:done@2 {c} d:done@30"
    assert check_of(before("a b", "c d", effect=deduct(5)), states).result == "awaited"
    assert check_of(before("a b", "c d", effect=FLAG), states).result != "awaited"


SIDES = Grid(
    "g", "{site} {side}", Technique.PALPATE, ("neck", "arm"), ("left", "right"),
    points=Fraction(1),
)  # fmt: skip


def per_side(states, per="side", effect=FLAG):
    rule = before("g.neck.*", "g.arm.*", effect, per=per)
    definition = rubric(SIDES, rules=(rule,))
    keys = [e.key for e in definition.elements]  # neck l, neck r, arm l, arm r
    marks = " ".join(f"{k}:{s}" for k, s in zip(keys, states.split(), strict=True))
    return score(definition, sheet(marks)).checks[0]


def test_per_side_reads_each_side_by_itself():
    # right neck after left arm is in order side by side, not over both
    states = "done@1 done@50 done@20 done@70"
    assert per_side(states).result == "met"
    assert per_side(states, per=None).result == "violated"


PARTS = [
    ("done@90 done done@20 done@30", "violated"),
    ("done@1 done done@20 done@30", "not_checked"),
    ("done@1 unseen done@20 done@30", "cannot_tell"),
    ("done@1 missed done@20 done@30", "met"),
    ("missed missed done@20 done@30", "not_applicable"),
]


@pytest.mark.parametrize(("states", "result"), PARTS)
def test_the_sides_together_are_as_the_worse_of_them(states, result):
    assert per_side(states).result == result


def test_a_ruling_covers_all_sides_if_there_is_something_to_order_on_one():
    rule = before("g.neck.*", "g.arm.*", FAIL, per="side")
    definition = rubric(SIDES, rules=(rule,))
    states = (
        "g.neck.left:done@90 g.neck.right:missed g.arm.left:done@20 g.arm.right:missed"
    )
    rulings = (Ruling("order", "met"),)
    assert score(definition, sheet(states, rulings=rulings)).checks[0].result == "met"


def test_two_sides_out_of_order_name_both_pairs_and_the_earlier_moment():
    check = per_side("done@90 done@80 done@30 done@20")
    assert check.at == 20
    assert check.decisive == (
        "g.arm.left",
        "g.neck.left",
        "g.arm.right",
        "g.neck.right",
    )


SEEN, DOUBTED = Sighting("harm", Decimal(61)), Sighting("harm", Decimal(40), False)
HAZARDS = [
    ((), FAIL, "met", None),
    ((SEEN,), FAIL, "violated", 61),
    ((DOUBTED,), FAIL, "awaited", 40),
    ((DOUBTED, SEEN), FAIL, "violated", 61),
    ((DOUBTED,), FLAG, "violated", 40),
    ((DOUBTED, SEEN), FLAG, "violated", 40),
    ((Sighting("harm"),), FAIL, "violated", None),
]


@pytest.mark.parametrize(("sightings", "effect", "result", "at"), HAZARDS)
def test_a_hazard_counts_once_confirmed_or_at_once_where_it_is_a_flag(
    sightings, effect, result, at
):
    check = check_of(hazard(effect), "", hazards=sightings)
    assert (check.result, check.at) == (result, at)


LENGTHS = [
    (None, 0, 0, "not_checked", None),
    ("600", 0, 0, "met", None),
    ("600.1", 0, 0, "violated", 600),
    ("630", 30, 0, "met", None),
    ("631", 30, 0, "violated", 630),
    ("690", 0, "1.5", "met", None),
    ("690.5", 0, "1.5", "violated", 690),
]


@pytest.mark.parametrize(("length", "start", "extra", "result", "at"), LENGTHS)
def test_a_recording_may_run_its_minutes_and_the_students_own(
    length, start, extra, result, at
):
    check = check_of(
        within(10),
        "",
        length_seconds=length and Decimal(length),
        start_at=Decimal(start),
        extra_minutes=Decimal(extra),
    )
    assert (check.result, check.at) == (result, at)


def test_checks_are_the_critical_elements_and_then_the_rules_in_rubric_order():
    definition = rubric(
        element("a", critical=FAIL),
        "b",
        element("c", critical=FLAG),
        rules=(hazard(), at_least(1, "a"), within()),
    )
    checks = score(definition, Sheet()).checks
    assert [check.key for check in checks] == ["a", "c", "harm", "enough", "length"]


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"rulings": (Ruling("harm", "met"),)}, "of kind before named harm"),
        ({"rulings": (Ruling("x", "met"),)}, "of kind before named x"),
        ({"rulings": (Ruling("order", "met"),) * 2}, "ruled on twice"),
        ({"hazards": (Sighting("order"),)}, "of kind hazard named order"),
        ({"hazards": (Sighting("x"),)}, "of kind hazard named x"),
    ],
)
def test_a_ruling_or_sighting_of_no_such_rule_is_refused(more, message):
    definition = rubric("a", "b", rules=(before("a", "b"), hazard()))
    with pytest.raises(ValueError, match=message):
        score(definition, Sheet(**more))
