"""The JSON object of a result: the contract's keys, their order and their form."""

import json
from decimal import Decimal
from fractions import Fraction

from grading.scoring import Ruling, Sighting, as_json, score
from tests.grading.scoring.pulse import PULSE_CHECK, sheet
from tests.grading.scoring.rubrics import cap, deduct, element, rubric
from tests.grading.scoring.rubrics import sheet as small_sheet

ALL = "done done done done done"
# The contract's example: half marks, the order violated.
EXAMPLE = score(
    PULSE_CHECK,
    sheet(
        "done done partly partly partly",
        "3 10 40 20 22",
        rulings=(Ruling("arms-first", "violated"),),
    ),
)


def test_keys_stand_in_the_contracts_order():
    found = as_json(EXAMPLE)
    assert list(found) == [
        "outcome",
        "possible",
        "earned",
        "raw",
        "percent",
        "percent_shown",
        "deducted",
        "cap",
        "unseen_points",
        "excused_points",
        "range",
        "sections",
        "checks",
        "reasons",
    ]
    assert list(found["range"]) == ["worst", "best"]
    assert list(found["range"]["worst"]) == ["percent", "outcome"]
    assert list(found["sections"][0]) == [
        "key",
        "possible",
        "earned",
        "percent",
        "minimum_met",
    ]
    assert list(found["checks"][0]) == [
        "key",
        "kind",
        "effect",
        "result",
        "elements",
        "at",
    ]
    assert list(found["reasons"][0]) == ["kind", "key", "text"]


def test_the_contracts_example_has_the_contracts_figures():
    found = as_json(EXAMPLE)
    figures = ("outcome", "possible", "earned", "raw", "percent", "percent_shown")
    assert [found[key] for key in figures] == [
        "not_yet",
        "6",
        "4.5",
        "75",
        "70",
        "70.0",
    ]
    assert [found["deducted"], found["cap"]] == ["5", None]
    both = {"percent": "70", "outcome": "not_yet"}
    assert found["range"] == {"worst": both, "best": both}
    assert found["sections"][0] == {
        "key": "opening",
        "possible": "2",
        "earned": "2",
        "percent": "100",
        "minimum_met": True,
    }


def test_a_check_names_its_effect_elements_and_moment():
    check = as_json(EXAMPLE)["checks"][2]
    assert check == {
        "key": "arms-first",
        "kind": "before",
        "effect": {"deduct": 5},
        "result": "violated",
        "elements": [
            "pulses.palpate.radial.left",
            "pulses.palpate.radial.right",
            "pulses.palpate.dorsalis-pedis.left",
            "pulses.palpate.dorsalis-pedis.right",
        ],
        "at": 20.0,
    }


def test_a_moment_is_a_number():
    seen = (Sighting("both-carotids", Decimal("61.25")),)
    found = as_json(score(PULSE_CHECK, sheet(ALL, hazards=seen)))
    assert found["checks"][3]["at"] == 61.25


def test_effects_are_words_or_exact_amounts():
    definition = rubric(
        element("a", critical=cap(60)), element("b", critical=deduct("2.5"))
    )
    checks = as_json(score(definition, small_sheet("a:done b:done")))["checks"]
    assert [check["effect"] for check in checks] == [{"cap": 60}, {"deduct": 2.5}]


def test_an_incomplete_sheet_has_neither_percent_nor_range():
    found = as_json(score(PULSE_CHECK, sheet("done done - - -")))
    nulls = ("percent", "percent_shown", "range")
    assert [found[key] for key in nulls] == [None, None, None]
    assert (found["outcome"], found["raw"]) == ("incomplete", "100")


def test_a_section_without_minimum_or_points_has_none_to_meet():
    sections = as_json(EXAMPLE)["sections"]
    assert [section["minimum_met"] for section in sections] == [True, None, None]
    assert sections[2]["percent"] is None


def test_a_percent_that_does_not_end_stays_on_its_side_of_the_pass_mark():
    pass_percent = Fraction("66.66666666667")
    definition = rubric("a", "b", "c", pass_percent=pass_percent)
    found = as_json(score(definition, small_sheet("a:done b:done c:missed")))
    # 10 digits, 66.66666667, would be above the pass mark
    assert found["percent"] == "66.666666666667"[: len(found["percent"])]
    assert Fraction(found["percent"]) < pass_percent
    assert found["range"]["best"]["percent"] == found["percent"]


def test_the_object_is_ready_for_json():
    assert json.loads(json.dumps(as_json(EXAMPLE))) == as_json(EXAMPLE)
