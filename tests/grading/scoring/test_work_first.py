"""Product.md's "Work on first", rule by rule, on a rubric made for it."""

from decimal import Decimal
from fractions import Fraction

import pytest

from grading.scoring import Mark, Ruling, Sheet, Sighting, score
from grading.scoring.work_first import work_first
from rubric.definition import State, read

RUBRIC = """
format: bellside-rubric/1
title: Pulses
pass_percent: 50
sections:
  - key: all
    title: All
    parts:
      - {key: hands, text: Cleans hands, technique: perform, points: 1, critical: fail}
      - {key: name, text: Says the name, technique: state, points: 1, critical: {deduct: 5}}
      - {key: pain, text: Asks about pain, technique: ask, points: 1, critical: {cap: 60}}
      - {key: light, text: Asks for light, technique: ask, points: 1, critical: flag}
      - key: feel
        text: Feels the {site} pulse, {side}
        technique: palpate
        sites: [radial, pedal]
        sides: [left, right]
        points: 1
      - key: listen
        text: Listens at the {site} with the {instrument}
        technique: auscultate
        sites: [base, apex, edge]
        instruments: [bell, diaphragm]
        points: 1
      - {key: look, text: Looks at the legs, technique: inspect, points: 3}
      - {key: sum, text: Sums up, technique: state, points: 0}
      - key: tell
        text: Explains
        technique: state
        points: 4
        levels:
          - {label: not, credit: 0}
          - {label: some, credit: 0.5}
          - {label: all, credit: 1}
rules:
  - {key: enough, kind: at_least, count: 3, of: [feel.*], effect: fail, text: Three of four pulses}
  - {key: order, kind: before, first: [feel.*], then: [look], effect: {deduct: 3}, text: Feel before looking}
  - {key: hurt, kind: hazard, effect: fail, text: Carries on through pain}
  - {key: time, kind: within, minutes: 1, effect: flag, text: Longer than a minute}
"""
DEFINITION = read(RUBRIC, "rubric")


def chosen(omitted_before=(), rulings=(), hazards=(), length=None, **states):
    """What to work on when all is done in full but `states` (by key, `_` for a dot)."""
    states = {key.replace("_", "."): value for key, value in states.items()}
    marks = []
    for second, element in enumerate(DEFINITION.elements):
        state, at = states.get(element.key, "done"), Decimal(second)
        if element.levels:
            level = 3 if state == "done" else state
            marks.append(Mark(element.key, State.LEVEL, at, level))
        else:
            marks.append(Mark(element.key, State(state), at))
    rulings = tuple(Ruling(*ruling) for ruling in rulings)
    sheet = Sheet(tuple(marks), tuple(hazards), rulings, length_seconds=length)
    result = score(DEFINITION, sheet)
    return work_first(DEFINITION, marks, result.checks, omitted_before)


def test_a_full_sheet_leaves_nothing_to_work_on():
    assert chosen() == ()


def test_there_are_never_more_than_three():
    found = chosen(hands="missed", name="missed", pain="missed", look="missed")
    assert len(found) == 3


def test_fail_comes_before_cap_before_deduct_before_points():
    by_effect = chosen(name="missed", pain="missed", hands="missed")
    assert [thing.elements[0] for thing in by_effect] == ["hands", "pain", "name"]
    then_points = chosen(name="missed", look="missed", tell=1)
    assert [thing.elements[0] for thing in then_points] == ["name", "tell", "look"]


def test_a_flag_weighs_what_its_points_weigh():
    found = chosen(look="missed", light="missed")
    assert [thing.elements for thing in found] == [("look",), ("light",)]
    assert found[1].effect.kind == "flag"


def test_omitted_again_comes_before_points_lost():
    found = chosen(omitted_before={"light"}, look="missed", light="said")
    assert [thing.again for thing in found] == [("light",), ()]


def test_done_in_part_after_an_omission_is_not_omitted_again():
    found = chosen(omitted_before={"look"}, look="partly")
    assert found[0].again == ()


def test_equal_points_go_by_exam_order():
    found = chosen(light="missed", feel_pedal_left="missed")
    assert [thing.elements for thing in found] == [("light",), ("feel.pedal.left",)]


def test_a_grid_is_one_thing_with_all_its_points():
    (found,) = chosen(feel_radial_left="missed", feel_pedal_left="partly")
    assert found.elements == ("feel.radial.left", "feel.pedal.left")
    assert (found.lost, found.way) == (Fraction(3, 2), "several")


def test_the_moment_is_the_earliest_of_its_marks():
    (found,) = chosen(feel_pedal_right="missed", feel_radial_right="missed")
    assert found.at == Decimal(5)


def test_a_block_of_a_grid_is_said_in_one_text():
    (found,) = chosen(feel_pedal_left="partly", feel_pedal_right="partly")
    assert found.what == "Feels the pedal pulse, left and right"


def test_cells_that_are_no_block_are_said_one_by_one():
    (found,) = chosen(feel_radial_left="partly", feel_pedal_right="partly")
    assert found.what == "Feels the radial pulse, left; Feels the pedal pulse, right"


def test_of_many_cells_that_are_no_block_three_are_named():
    cells = ("base_bell", "base_diaphragm", "apex_bell", "edge_diaphragm")
    (found,) = chosen(**{f"listen_{cell}": "missed" for cell in cells})
    assert found.what == (
        "Listens at the base with the bell; Listens at the base with the diaphragm; "
        "Listens at the apex with the bell; and 1 more"
    )


@pytest.mark.parametrize("state", ["unseen", "excused"])
def test_what_leaves_the_sum_is_not_to_be_worked_on(state):
    assert chosen(look=state) == ()


def test_an_omission_without_points_or_effect_is_not_named():
    assert chosen(sum="missed") == ()


def test_a_level_below_the_top_loses_the_rest_of_its_points():
    (found,) = chosen(tell=2)
    assert (found.lost, found.way) == (Fraction(2), "level")


def test_a_violated_count_takes_in_the_group_that_it_counts():
    (found,) = chosen(feel_radial_left="said", feel_pedal_left="said")
    assert (found.what, found.way) == ("Three of four pulses", "at_least")
    assert (found.lost, found.effect.kind) == (Fraction(2), "fail")
    assert found.elements == ("feel.radial.left", "feel.pedal.left")


def test_a_hazard_is_named_with_its_moment_and_goes_first():
    found = chosen(look="missed", hazards=[Sighting("hurt", Decimal(61))])
    assert (found[0].what, found[0].way) == ("Carries on through pain", "hazard")
    assert (found[0].at, found[0].lost) == (Decimal(61), 0)


def test_a_count_leaves_alone_what_it_does_not_count():
    found = chosen(feel_radial_left="said", feel_pedal_left="said", look="missed")
    assert [thing.elements for thing in found] == [
        ("feel.radial.left", "feel.pedal.left"),
        ("look",),
    ]


def test_an_order_ruled_violated_is_named_before_points():
    found = chosen(look="partly", rulings=[("order", "violated")])
    assert [thing.way for thing in found] == ["before", "partly"]


def test_an_order_does_not_take_in_what_was_left_out_of_it():
    found = chosen(feel_radial_left="missed", rulings=[("order", "violated")])
    assert [thing.way for thing in found] == ["before", "missed"]


def test_a_flagged_time_limit_comes_last():
    found = chosen(light="missed", length=Decimal(90))
    assert [thing.way for thing in found] == ["missed", "within"]
