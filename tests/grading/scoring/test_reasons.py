"""What a student reads: every kind of reason, word by word."""

from decimal import Decimal
from fractions import Fraction

import pytest

from grading.scoring import Ruling, Sighting, score, state_in_words
from grading.scoring.wording import consequence
from rubric.definition.values import GlobalRating
from tests.grading.scoring.pulse import PULSE_CHECK
from tests.grading.scoring.pulse import sheet as pulse
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
    mark,
    rubric,
    sheet,
    within,
)


def texts(*elements, states="", rules=(), sheet_more=None, **more):
    definition = rubric(*elements, rules=rules, **more)
    result = score(definition, sheet(states, **(sheet_more or {})))
    return [reason.text for reason in result.reasons]


def test_a_pass_says_which_mark_was_reached():
    assert texts("a", states="a:done") == ["100.0% reaches the pass mark of 50%."]


def test_below_the_pass_mark_and_below_a_minimum():
    assert texts("a", "b", "c", states="a:done b:said c:missed", minimum=40) == [
        "33.3% is below the pass mark of 50%.",
        "All: 33.3% is below this section's minimum of 40%.",
    ]


def test_a_failed_critical_element_says_its_state_and_moment():
    a = element("a", 0, critical=FAIL)
    assert texts(a, "b", states="a:said@65.9 b:done") == [
        'Does a: said only (1:05). This part is critical, so the outcome is "not yet".'
    ]


def test_a_failed_critical_level_says_the_levels_own_words():
    a = element("a", 0, critical=FAIL, levels=levels(0, 1))
    assert texts(a, "b", states="a:level1 b:done") == [
        'Does a: level 0. This part is critical, so the outcome is "not yet".'
    ]


def test_a_critical_element_not_seen():
    a = element("a", 0, critical=FAIL)
    assert texts(a, "b", states="a:unseen@9 b:done") == [
        "Does a: not seen (0:09). This part is critical, so it cannot be judged from "
        "this recording."
    ]


def test_deductions_and_caps_follow_what_decides():
    a = element("a", 0, critical=deduct(1))
    b = element("b", 0, critical=cap("62.5"))
    assert texts(a, b, "c", states="a:missed b:missed c:done") == [
        "62.5% reaches the pass mark of 50%.",
        "Does a: missed. This part is critical, so 1 percentage point is taken off.",
        "Does b: missed. This part is critical, so the result is at most 62.5%.",
    ]


def test_a_count_not_reached():
    rules = (at_least(3, *"abc"),)
    assert texts(*"abc", states="a:done b:done c:missed", rules=rules)[0] == (
        'Enough of them: 2 performed, 3 needed, so the outcome is "not yet".'
    )
    assert texts(*"abc", states="a:done b:missed c:unseen", rules=rules)[0] == (
        "Enough of them: 1 performed and 1 not seen, 3 needed, so the outcome is "
        '"not yet".'
    )


def test_a_count_in_doubt():
    rules = (at_least(2, *"abc", effect=cap(60)),)
    found = texts(*"abc", "d", states="a:done b:missed c:unseen d:done", rules=rules)
    assert found[0] == (
        "Enough of them: 1 performed and 1 not seen, 2 needed, so it cannot be judged "
        "from this recording."
    )


def ordered(states, effect, *rulings):
    return texts(
        *"abc",
        states=states,
        rules=(before("a b", "c", effect=effect),),
        sheet_more={"rulings": tuple(Ruling("order", r) for r in rulings)},
        unseen_limit_percent=Fraction(100),
    )


def test_an_order_that_the_times_contradict_awaits_a_ruling():
    assert ordered("a:done@461 b:done c:done@380", deduct(5)) == [
        "In order: the times do not show the order (no time: Does b). A ruling of the "
        "marker is awaited."
    ]
    assert ordered("a:done@461 b:done@1 c:done@380", deduct(5)) == [
        "In order: Does c (6:20) came before Does a (7:41). A ruling of the marker is "
        "awaited."
    ]


def test_an_order_ruled_violated():
    assert ordered("a:done@1 b:done@2 c:done@3", deduct(5), "violated")[-1] == (
        "In order: the marker ruled that the order was not kept, so 5 percentage "
        "points are taken off."
    )


def test_an_order_in_doubt_by_ruling_or_by_what_was_not_seen():
    assert ordered("a:done@1 b:done@2 c:done@3", FAIL, "cannot_tell") == [
        "In order: the marker ruled that the recording does not show the order, so it "
        "cannot be judged from this recording."
    ]
    assert ordered("a:done@1 b:unseen c:done@3", FAIL) == [
        "In order: the recording does not show the order (not seen: Does b), so it "
        "cannot be judged from this recording."
    ]


SEEN = Sighting("harm", Decimal(61))


@pytest.mark.parametrize(
    ("sighting", "text"),
    [
        (SEEN, 'Does harm: seen at 1:01, so the outcome is "not yet".'),
        (Sighting("harm"), 'Does harm: seen, so the outcome is "not yet".'),
        (
            Sighting("harm", Decimal(61), confirmed=False),
            "Does harm: seen at 1:01. A confirmation is awaited.",
        ),
    ],
)
def test_a_hazard(sighting, text):
    more = {"hazards": (sighting,)}
    assert texts("a", states="a:done", rules=(hazard(),), sheet_more=more) == [text]


def test_a_recording_too_long():
    more = {"length_seconds": Decimal(700), "start_at": Decimal(10)}
    rules = (within(10, effect=deduct(2)),)
    assert texts("a", states="a:done", rules=rules, sheet_more=more)[-1] == (
        "Longer than allowed: 11:30 used, 10:00 allowed, so 2 percentage points are "
        "taken off."
    )


def test_what_is_open():
    rating = GlobalRating(("x", "y", "z"), 2)
    assert texts("a", "b", states="a:done", global_rating=rating) == [
        "Does b: no state yet.",
        "The global rating is not given yet.",
    ]


def test_nothing_possible():
    assert texts("a", states="a:excused") == [
        "No points could be judged from this recording."
    ]


def test_too_much_unseen_and_the_worst_case():
    found = texts("a", "b", "c", states="a:done b:done c:unseen", pass_percent=80)
    assert found == [
        "33.3% of the points could not be seen in this recording; at most 10% may be."
    ]
    more = {"unseen": "range", "unseen_limit_percent": Fraction(50)}
    ranged = texts(
        "a", "b", "c", states="a:done b:done c:unseen", pass_percent=80, **more
    )
    assert ranged == [
        "If all that was not seen counted as missed, the result would be 66.7%: not a "
        "pass."
    ]


def test_the_best_case():
    found = texts("a", "b", "c", states="a:missed b:missed c:unseen")
    assert found == [
        "Even if all that was not seen counted as done, the result would be 33.3%: not "
        "a pass.",
        "0.0% is below the pass mark of 50%.",
    ]


def test_a_share_just_over_the_unseen_limit_is_not_shown_as_the_limit():
    found = texts(
        element("a", "89.96"), element("b", "10.04"), states="a:done b:unseen"
    )
    assert found[0].startswith("10.04% of the points")


def test_a_flag_is_no_reason():
    a = element("a", 0, critical=FLAG)
    assert texts(a, "b", states="a:missed b:done") == [
        "100.0% reaches the pass mark of 50%."
    ]


def test_a_reason_carries_the_effect_and_the_moment_of_its_check():
    result = score(PULSE_CHECK, pulse("missed done done done done"))
    reason = result.reasons[0]
    assert (reason.key, reason.effect, reason.at) == (
        "opening.consent",
        FAIL,
        Decimal(3),
    )


def test_a_flag_has_a_consequence_in_words_too():
    assert consequence(FLAG) == "this is noted and changes nothing else"


def test_states_are_written_as_screens_write_them():
    a = element("a", levels=levels(0, 1))
    words = [state_in_words(a, mark(f"a:{s}")) for s in ("unseen", "said", "level2")]
    assert words == ["not seen", "said only", "level 1"]
