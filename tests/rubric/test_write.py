import json
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings

from rubric.definition import Grid, read, write_json, write_yaml
from rubric.definition.layout import decimal_text
from tests.rubric.definitions import definitions
from tests.rubric.files import PULSE_CHECK, changed

any_definition = settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@any_definition
@given(definitions())
def test_yaml_reads_back_to_the_same_rubric(definition):
    text = write_yaml(definition)
    assert read(text, "x") == definition
    assert write_yaml(read(text.encode(), "x")) == text


@any_definition
@given(definitions())
def test_json_reads_back_to_the_same_rubric(definition):
    text = write_json(definition)
    assert read(text, "x") == definition
    assert write_json(read(text.encode(), "x")) == text
    assert json.loads(text)["title"] == definition.title


def test_yaml_is_laid_out_for_people():
    comment_free = "\n".join(
        line.split("  #")[0].rstrip() for line in PULSE_CHECK.splitlines()
    )
    head, _, _ = comment_free.partition("rules:")
    left_out = ("        may_excuse: false\n", "        instruments: []\n")
    for line in left_out:
        head = head.replace(line, "")
    written = write_yaml(read(PULSE_CHECK, "x"))
    assert written.startswith(head)
    assert written[len(head) :] == (
        "rules:\n"
        "  - key: enough-pulses\n"
        "    kind: at_least\n"
        "    count: 3\n"
        "    of: [pulses.palpate.*]\n"
        "    effect: fail\n"
        "    text: At least three of four pulses\n"
        "  - key: arms-first\n"
        "    kind: before\n"
        "    first: [pulses.palpate.radial.*]\n"
        "    then: [pulses.palpate.dorsalis-pedis.*]\n"
        "    effect: {deduct: 5}\n"
        "    text: Arms before feet\n"
        "  - key: both-carotids\n"
        "    kind: hazard\n"
        "    effect: fail\n"
        "    text: Presses both carotid arteries at once\n"
        "  - key: length\n"
        "    kind: within\n"
        "    minutes: 20\n"
        "    effect: flag\n"
        "    text: Recording longer than 20 minutes\n"
    )


def test_what_yaml_would_misread_is_in_quotes():
    text = changed(
        ("title: Two-minute pulse check", "title: 'Pulse: a check # 1'"),
        ("[permission, film]", "['1', 'true', 'a, b', '- c', ok]"),
    )
    written = write_yaml(read(text, "x"))
    assert 'title: "Pulse: a check # 1"\n' in written
    assert 'say: ["1", "true", "a, b", "- c", ok]\n' in written


def test_a_text_of_several_lines_stays_readable():
    text = changed(
        ("source: Common practice", "source: |\n          One\n\n          Two: 2")
    )
    written = write_yaml(read(text, "x"))
    assert "        source: |-\n          One\n\n          Two: 2\n" in written


def test_a_long_list_goes_on_lines_of_its_own():
    words = [f"word {n}" * 3 for n in range(9)]
    text = changed(("[permission, film]", json.dumps(words)))
    written = write_yaml(read(text, "x"))
    assert f"        say:\n          - {words[0]}\n          - {words[1]}\n" in written


def test_a_grid_before_an_element_is_written_as_parts():
    definition = read(PULSE_CHECK, "x")
    (consent,) = definition.sections[0].parts
    (grid,) = definition.sections[1].parts
    mixed = replace(
        definition.sections[1], parts=(grid, replace(consent, key="pulses.last"))
    )
    definition = replace(definition, sections=(definition.sections[0], mixed), rules=())
    text = write_yaml(definition)
    assert "    parts:\n      - key: pulses.palpate\n" in text
    assert isinstance(read(text, "x").sections[1].parts[0], Grid)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (Fraction(0), "0"),
        (Fraction(12), "12"),
        (Fraction(1, 10), "0.1"),
        (Fraction(-9, 2), "-4.5"),
        (Fraction(1, 10**20), "0.00000000000000000001"),
        (Fraction(10**22 + 1, 10**3), "10000000000000000000.001"),
    ],
)
def test_a_number_is_written_in_decimals(number, text):
    assert decimal_text(number) == text


@pytest.mark.parametrize("number", [Fraction(1, 3), Fraction(1, 10**21)])
def test_a_number_without_end_is_not_written(number):
    with pytest.raises(ValueError, match="more than 20 decimal places"):
        decimal_text(number)
