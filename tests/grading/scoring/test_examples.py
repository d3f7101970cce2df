"""The worked examples of the scoring contract, row by row (constructed there by hand)."""

from decimal import Decimal
from fractions import Fraction

import pytest

from grading.scoring import Ruling, Sighting, score
from tests.grading.scoring.pulse import PULSE_CHECK, sheet

ALL = "done done done done done"
HALF = "done done partly partly partly"
SEEN = Sighting("both-carotids", Decimal(61))
UNCONFIRMED = Sighting("both-carotids", Decimal(61), confirmed=False)
FEET_FIRST = {"times": "3 10 40 20 22"}
UNTIMED = {"times": "3 10 - 20 22"}


def ruled(result):
    return {"rulings": (Ruling("arms-first", result),)}


# possible, earned, percent as shown, outcome; then worst and best where they differ
COMPLETE = {
    "1": (ALL, {}, "6 6 100.0 pass"),
    "2": ("said done done partly partly", {}, "6 5 83.3 pass"),
    "3": ("missed done done done done", {}, "6 4 66.7 not_yet"),
    "4": ("done done missed done missed", {}, "6 4 66.7 not_yet"),
    "5": ("done done done done unseen", {}, "5 5 100.0 cannot_be_judged"),
    "6a": (ALL, FEET_FIRST | ruled("violated"), "6 6 95.0 pass"),
    "6b": (ALL, FEET_FIRST | ruled("met"), "6 6 100.0 pass"),
    "6c": (ALL, {"times": "3 10 24 20 22"}, "6 6 100.0 pass"),
    "7": (ALL, {"hazards": (SEEN,)}, "6 6 100.0 not_yet"),
    "8": ("done done done unseen missed", {}, "5 4 80.0 cannot_be_judged"),
    "8a": ("done done unseen missed missed", {}, "5 3 60.0 not_yet"),
    "9a": (HALF, UNTIMED | ruled("met"), "6 4.5 75.0 pass"),
    "11": ("said excused excused done done", {}, "4 4 100.0 pass"),
    "12": ("done partly partly partly unseen", {}, "5 3.5 70.0 cannot_be_judged"),
    "13": ("done partly partly missed unseen", {}, "5 3 60.0 not_yet"),
}


@pytest.mark.parametrize("row", COMPLETE)
def test_a_complete_sheet_comes_to_what_its_row_says(row):
    states, more, expected = COMPLETE[row]
    possible, earned, percent, outcome = expected.split()
    result = score(PULSE_CHECK, sheet(states, **more))
    assert result.possible == Fraction(possible)
    assert result.earned == Fraction(earned)
    assert result.percent_shown == percent
    assert result.outcome == outcome
    assert not result.open


# what keeps the sheet open: elements, rulings, confirmations
INCOMPLETE = {
    "6": (ALL, FEET_FIRST, ((), ("arms-first",), ())),
    "7a": (ALL, {"hazards": (UNCONFIRMED,)}, ((), (), ("both-carotids",))),
    "9": (HALF, UNTIMED, ((), ("arms-first",), ())),
    "10": (
        "done done - done done",
        {},
        (("pulses.palpate.radial.right",), (), ()),
    ),
}


@pytest.mark.parametrize("row", INCOMPLETE)
def test_an_incomplete_sheet_names_what_is_open(row):
    states, more, expected = INCOMPLETE[row]
    result = score(PULSE_CHECK, sheet(states, **more))
    assert result.outcome == "incomplete"
    left = result.open
    assert (left.elements, left.rulings, left.confirmations) == expected
    assert (result.percent, result.range) == (None, None)


RANGES = {
    "5": ("83.3 pass", "100.0 pass"),
    "8": ("66.7 not_yet", "83.3 pass"),
    "8a": ("50.0 not_yet", "66.7 not_yet"),
    "12": ("58.3 not_yet", "75.0 pass"),
    "13": ("50.0 not_yet", "66.7 not_yet"),
}


@pytest.mark.parametrize("row", RANGES)
def test_the_range_runs_from_all_unseen_missed_to_all_done(row):
    states, more, _ = COMPLETE[row]
    cases = score(PULSE_CHECK, sheet(states, **more)).range
    shown = tuple(
        f"{case.percent_shown} {case.outcome}" for case in (cases.worst, cases.best)
    )
    assert shown == RANGES[row]


# the kinds of reason, the deciding ones first, with the key they name
REASONS = {
    "1": ["percent"],
    "3": ["critical opening.consent", "percent", "section opening"],
    "4": ["at_least enough-pulses", "percent"],
    "5": ["unseen_limit"],
    "6": ["ruling arms-first"],
    "6a": ["percent", "before arms-first"],
    "7": ["hazard both-carotids"],
    "7a": ["confirmation both-carotids"],
    "8": ["at_least enough-pulses", "unseen_limit"],
    "8a": ["at_least enough-pulses", "percent"],
    "10": ["open pulses.palpate.radial.right"],
    "12": ["unseen_limit", "percent"],
    "13": ["best_case", "percent"],
}


@pytest.mark.parametrize("row", REASONS)
def test_the_reasons_are_those_the_row_gives(row):
    states, more, _ = (COMPLETE | INCOMPLETE)[row]
    reasons = score(PULSE_CHECK, sheet(states, **more)).reasons
    named = [f"{reason.kind} {reason.key or ''}".strip() for reason in reasons]
    assert named == REASONS[row]


def test_row_5_meets_the_count_and_cannot_tell_the_order():
    states, more, _ = COMPLETE["5"]
    checks = score(PULSE_CHECK, sheet(states, **more)).checks
    results = {check.key: check.result for check in checks}
    assert results["enough-pulses"] == "met"
    assert results["arms-first"] == "cannot_tell"


def test_row_11_lowers_the_count_and_leaves_no_order_to_check():
    states, more, _ = COMPLETE["11"]
    checks = score(PULSE_CHECK, sheet(states, **more)).checks
    results = {check.key: check.result for check in checks}
    assert results["enough-pulses"] == "met"
    assert results["arms-first"] == "not_applicable"
