"""The published schema: what reads passes it, and what has the wrong shape fails both."""

import json
import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

import rubric.definition
from rubric.definition import read, write_json
from rubric.faults import Faults
from tests.rubric.definitions import definitions
from tests.rubric.files import PULSE_CHECK, changed
from tests.rubric.fuzz import changed_values
from tests.rubric.test_bad_values import CHANGES
from tests.rubric.test_bounds import REFUSED, TAKEN

FILE = Path(rubric.definition.__file__).with_name("schema.json")
SCHEMA = json.loads(FILE.read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)

# Faults of how a value is spelt, or of what values mean together, not of shape. The
# library that reads YAML for the schema takes 075 and 1_0 for numbers too.
NOT_OF_SHAPE = (
    "several lines",
    "holds the character",
    "is no axis",
    "decimal places",
    "plain decimals",
    "is .nan",
    "is '1_0'",
    "is 'ri  ght'",
)
NOT_OF_SHAPE_EITHER = (("borderline: 2", "borderline: 5"), ("count: 3", "count: 5"))


def valid(text):
    return VALIDATOR.is_valid(YAML(typ="safe", pure=True).load(text))


def test_the_schema_is_one():
    Draft202012Validator.check_schema(SCHEMA)


def test_the_example_passes():
    assert valid(PULSE_CHECK)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(definitions())
def test_every_rubric_passes(definition):
    assert VALIDATOR.is_valid(json.loads(write_json(definition)))


@pytest.mark.parametrize(("old", "new"), TAKEN)
def test_what_is_within_bounds_passes(old, new):
    assert valid(changed((old, new)))


@pytest.mark.parametrize(
    ("old", "new"), [change for change in REFUSED if change not in NOT_OF_SHAPE_EITHER]
)
def test_what_is_out_of_bounds_fails(old, new):
    assert not valid(changed((old, new)))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (old, new)
        for old, new, fault in CHANGES
        if not any(word in fault for word in NOT_OF_SHAPE)
    ],
)
def test_what_has_the_wrong_shape_fails_both(old, new):
    text = changed((old, new))
    with pytest.raises(Faults):
        read(text, "x")
    assert not valid(text)


# What only reading finds: how keys and selectors fit together.
TOGETHER = (
    "is used twice",
    "matches no element",
    "first and then share",
    "above the number of",
)


def test_spoilt_values_are_refused_by_both_or_by_neither():
    agreed = []
    for seed in range(150):
        dice = random.Random(seed)  # noqa: S311 - no secret
        text = write_json(read(PULSE_CHECK, "x"))
        document = changed_values(dice, json.loads(text))
        try:
            read(json.dumps(document), "x")
            faults = ()
        except Faults as found:
            faults = found.faults
        of_shape = [
            fault.what
            for fault in faults
            if not any(words in fault.what for words in TOGETHER)
        ]
        assert VALIDATOR.is_valid(document) == (not of_shape), (seed, faults)
        agreed.append(not of_shape)
    assert 5 < sum(agreed) < 145
