from fractions import Fraction

from rubric.definition import (
    AtLeast,
    Before,
    Credit,
    Effect,
    Element,
    GlobalRating,
    Grid,
    Hazard,
    Level,
    Technique,
    Within,
    read,
)
from tests.rubric.files import PULSE_CHECK, changed, faults_of

MINIMAL = """\
format: bellside-rubric/1
title: One thing
pass_percent: 60
sections:
  - key: only
    title: Only
    elements:
      - {key: only.one, text: Washes hands, technique: perform, points: 1}
"""


def test_the_example_says_what_it_shows():
    definition = read(PULSE_CHECK, "pulse-check.yaml")
    assert definition.title == "Two-minute pulse check"
    assert definition.pass_percent == 75
    assert definition.credit == Credit(partly=Fraction(1, 2), said=Fraction(0))
    assert definition.global_rating == GlobalRating(
        ("well below", "borderline", "sound", "excellent"), borderline=2
    )
    assert [section.minimum_percent for section in definition.sections] == [
        50,
        None,
        None,
    ]


def test_an_element_has_all_that_is_written():
    (element,) = read(PULSE_CHECK, "pulse-check.yaml").sections[0].parts
    assert element == Element(
        key="opening.consent",
        text="Asks permission to record",
        technique=Technique.ASK,
        points=Fraction(2),
        critical=Effect("fail"),
        credit=Credit(said=Fraction(1)),
        expects="States that permission was given",
        source="Common practice",
        say=("permission", "film"),
    )


def test_a_grid_is_kept_as_written():
    (grid,) = read(PULSE_CHECK, "pulse-check.yaml").sections[1].parts
    assert grid == Grid(
        key="pulses.palpate",
        text="Palpates the {site} pulse, {side}",
        technique=Technique.PALPATE,
        sites=("radial", "dorsalis pedis"),
        sides=("left", "right"),
        points=Fraction(1),
    )


def test_levels_keep_their_order_and_credit():
    (element,) = read(PULSE_CHECK, "pulse-check.yaml").sections[2].parts
    assert element.levels == (
        Level("does not explain", Fraction(0)),
        Level("explains some steps", Fraction(1, 2)),
        Level("explains every step", Fraction(1)),
    )


def test_rules_of_every_kind_are_read():
    assert read(PULSE_CHECK, "pulse-check.yaml").rules == (
        AtLeast(
            key="enough-pulses",
            text="At least three of four pulses",
            effect=Effect("fail"),
            count=3,
            of=("pulses.palpate.*",),
        ),
        Before(
            key="arms-first",
            text="Arms before feet",
            effect=Effect("deduct", Fraction(5)),
            first=("pulses.palpate.radial.*",),
            then=("pulses.palpate.dorsalis-pedis.*",),
        ),
        Hazard(
            "both-carotids", "Presses both carotid arteries at once", Effect("fail")
        ),
        Within(
            "length", "Recording longer than 20 minutes", Effect("flag"), Fraction(20)
        ),
    )


def test_what_is_left_out_has_the_default():
    definition = read(MINIMAL, "minimal.yaml")
    assert definition.language == "en"
    assert definition.unseen_limit_percent == 10
    assert definition.unseen == "exclude"
    assert definition.credit == Credit(partly=Fraction(1, 2), said=Fraction(0))
    assert definition.global_rating is None
    assert definition.rules == ()


def test_half_a_credit_keeps_the_default_of_the_other_half():
    text = MINIMAL + "credit: {said: 0.25}\n"
    assert read(text, "x").credit == Credit(partly=Fraction(1, 2), said=Fraction(1, 4))


def test_numbers_are_exactly_what_is_written():
    text = changed(
        ("points: 2\n", "points: 0.1\n"), ("pass_percent: 75", "pass_percent: 66.7")
    )
    definition = read(text, "x")
    assert definition.elements[0].points == Fraction(1, 10)
    assert definition.pass_percent == Fraction(667, 10)


def test_elements_come_before_grids_in_a_section():
    text = changed(
        (
            "    grids: ",
            "    elements: [{key: pulses.last, text: T, technique: state, points: 1}]\n    grids: ",
        )
    )
    keys = [element.key for element in read(text, "x").sections[1].elements]
    assert keys[:2] == ["pulses.last", "pulses.palpate.radial.left"]


def test_parts_keep_exam_order():
    text = changed(
        ("    grids: ", "    parts: "),
        (
            "  - key: manner\n",
            "      - {key: pulses.last, text: T, technique: state, points: 1}\n  - key: manner\n",
        ),
    )
    section = read(text, "x").sections[1]
    assert [type(part) for part in section.parts] == [Grid, Element]
    assert section.elements[-1].key == "pulses.last"


def test_a_cap_and_a_per_are_read():
    text = changed(
        ("effect: {deduct: 5}", "effect: {cap: 60}, per: side, slack_seconds: 0")
    )
    rule = read(text, "x").rules[1]
    assert rule.effect == Effect("cap", Fraction(60))
    assert (rule.per, rule.slack_seconds) == ("side", 0)


def test_range_and_a_language_are_read():
    text = changed(
        ("unseen: exclude", "unseen: range"), ("language: en", "language: pt-BR")
    )
    definition = read(text, "x")
    assert (definition.unseen, definition.language) == ("range", "pt-BR")


def test_keys_may_be_of_any_script():
    text = changed(
        ("[radial, dorsalis pedis]", "[fußrücken, 桡 动脉]"),
        ("radial.*", "fußrücken.*"),
        ("dorsalis-pedis.*", "桡-动脉.*"),
    )
    assert read(text, "x").elements[3].key == "pulses.palpate.桡-动脉.left"


def test_the_positions_of_elements_are_known_by_key():
    definition = read(PULSE_CHECK, "x")
    assert [definition.index[e.key] for e in definition.elements] == [0, 1, 2, 3, 4, 5]


def test_faults_of_every_part_come_at_once_in_order_of_lines():
    text = changed(
        ("pass_percent: 75", "pass_percent: 175"),
        ("technique: ask", "technique: asks"),
        ("points: 0\n", "pionts: 0\n"),
        ("of: [pulses.palpate.*]", "of: [pulses.palpat.*]"),
        ("minutes: 20", "minutes: soon"),
    )
    assert [fault.split(":")[0] for fault in faults_of(text)] == [
        "4",
        "18",
        "39",
        "42",
        "48",
        "51",
    ]
