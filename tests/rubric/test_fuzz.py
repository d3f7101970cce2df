"""Files spoilt at random, and files made to hurt: each is read, or refused in words."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubric.definition.lint import lint
from tests.rubric.files import faults_of
from tests.rubric.fuzz import holds, spoilt


def test_spoilt_files_are_read_or_refused(tmp_path):
    for seed in range(150):
        dice = random.Random(seed)  # noqa: S311 - no secret
        holds(spoilt(dice), tmp_path)


@settings(max_examples=100)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path_factory, data):
    holds(data, tmp_path_factory.getbasetemp())


BOMBS = {
    "aliases that multiply": (
        "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n",
        "1: 'a' is an anchor or alias (& or *); allowed: values written out",
    ),
    "merged keys": (
        "a: &a {b: 1}\nc: {<<: *a}\n",
        "1: 'a' is an anchor or alias (& or *); allowed: values written out",
    ),
    "a tag that makes something": (
        "a: !!python/object/apply:os.system [ls]\n",
        "1: 'tag:yaml.org,2002:python/object/apply:os.system' is a tag (!); allowed: values without tags",
    ),
    "5 MB of YAML": (
        "a: 1\n" * 1_000_000,
        "the file has 5000000 bytes; allowed: at most 500000",
    ),
    "5 MB of JSON": (
        '{"a": "' + "x" * 4_999_991 + '"}',
        "the file has 5000000 bytes; allowed: at most 500000",
    ),
    "deep brackets": (
        "[" * 100_000,
        "1: lists and keys are more than 12 deep within each other",
    ),
    "deep braces": (
        '{"a":' * 100_000,
        "1: lists and keys are more than 12 deep within each other",
    ),
    "deep and closed": (
        "[" * 50_000 + "]" * 50_000,
        "1: lists and keys are more than 12 deep within each other",
    ),
    "deep by lines": (
        "".join(" " * n + "a:\n" for n in range(300)),
        "13: lists and keys are more than 12 deep within each other",
    ),
    "a key written twice": (
        "title: a\ntitle: b\n",
        "2: 'title' is written twice, first on line 1; allowed: each key once",
    ),
    "a key written twice in JSON": (
        '{"title": "a",\n"title": "b"}',
        "2: 'title' is written twice, first on line 1; allowed: each key once",
    ),
    "Latin-1": (
        "title: café".encode("latin-1"),
        "1: the byte 0xE9 is not UTF-8; allowed: text saved as UTF-8",
    ),
    "UTF-16": (
        "title: a".encode("utf-16"),
        "1: the byte 0xFF is not UTF-8; allowed: text saved as UTF-8",
    ),
    "many values": (
        "- a\n" * 50_000,
        "20000: the file holds more than 20000 values; allowed: at most 20000",
    ),
    "many keys": (
        "".join(f"k{n}: 1\n" for n in range(22_000)),
        "20000: the file holds more than 20000 values; allowed: at most 20000",
    ),
    "many lines in one text": ("a: [" + "b\n" * 120_000 + "]", None),
    "an anchor without end": (
        "&" + "a" * 240_000,
        "1: a word of more than 300 characters begins with ! & * or %; allowed: text in quotes",
    ),
}


@pytest.mark.parametrize("what", BOMBS)
def test_what_is_made_to_hurt_is_one_clear_fault(what):
    text, expected = BOMBS[what]
    faults = faults_of(text)
    assert expected is None or expected in faults
    if isinstance(text, str):
        assert {finding.weight for finding in lint(text)} == {"must"}
