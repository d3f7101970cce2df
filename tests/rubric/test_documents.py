"""Files that are no YAML or JSON, or mean harm: a clear fault, at once, and no crash."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubric.definition import Document, read, write_json
from rubric.faults import Faults
from tests.rubric.files import PULSE_CHECK, changed, faults_of

ALIKE = "keys of one group, and items of one list, set in alike"
UNREADABLE = [
    ("", "the file is empty; allowed: YAML or JSON"),
    (" \n\t\n", "the file is empty; allowed: YAML or JSON"),
    ("# only a comment\n", "the file is empty; allowed: YAML or JSON"),
    ("a:\n\tb: 1", "2: a tab stands where a line is set in; allowed: spaces"),
    (
        "a:\n b: 1\n   c: 2",
        "3: a ': ' is not expected here; allowed: text that holds ': ' in quotes; keys of one group set in alike",
    ),
    (
        "a: b: c",
        "1: a ': ' is not expected here; allowed: text that holds ': ' in quotes; keys of one group set in alike",
    ),
    (
        "a: - b",
        "1: a '- ' is not expected here; allowed: each item of a list on a line of its own",
    ),
    ("- a\nb: c", f"2: this does not line up with what stands above; allowed: {ALIKE}"),
    ("a: 1\nb\n", "2: a key is not followed by ': '; allowed: 'key: value'"),
    (
        "a: 1\nb: 'c\n\nd: e",
        "2: a quote opens and does not close; allowed: a closing quote",
    ),
    (
        "a:\n  [1, 2",
        "2: a comma or a closing bracket is missing; allowed: items parted by commas, the bracket closed",
    ),
    (
        '{"a": 1\n "b": 2}',
        "2: a comma or a closing bracket is missing; allowed: items parted by commas, the bracket closed",
    ),
    (
        "a: @b",
        "1: a value begins with a sign that YAML keeps for itself; allowed: such text in quotes",
    ),
    (
        'a: "\\xZZ"',
        "1: not YAML or JSON: expected escape sequence of 2 hexdecimal numbers, but found 'Z'",
    ),
    (
        'a: 1\nb: "\\U99999999"',
        "2: the value that follows has a \\ escape of no character; allowed: \\n, \\t, \\u and four digits",
    ),
    ("a: 1\n---\nb: 2", "2: a second document begins; allowed: one document in a file"),
    (
        "a: &x 1\nb: *x",
        "1: 'x' is an anchor or alias (& or *); allowed: values written out",
    ),
    (
        "a: 1\nb: *x",
        "2: 'x' is an anchor or alias (& or *); allowed: values written out",
    ),
    (
        "a: !!python/object:os.system x",
        "1: 'tag:yaml.org,2002:python/object:os.system' is a tag (!); allowed: values without tags",
    ),
    (
        "a: !!int 5",
        "1: 'tag:yaml.org,2002:int' is a tag (!); allowed: values without tags",
    ),
    (
        "? [a]\n: b",
        "1: a key is itself a list or a group of keys; allowed: a key of one word",
    ),
    ("[" * 13 + "]" * 13, "1: lists and keys are more than 12 deep within each other"),
    ("[" * 100_000, "1: lists and keys are more than 12 deep within each other"),
    ('{"a":' * 100_000, "1: lists and keys are more than 12 deep within each other"),
    ("- " * 50_000 + "x", "1: lists and keys are more than 12 deep within each other"),
    (
        "a: 1\nb: \x07",
        "2: the character U+0007 cannot be read; allowed: text without control characters",
    ),
    (
        "a: \x00",
        "1: the character U+0000 cannot be read; allowed: text without control characters",
    ),
    (
        "a: \ud800",
        "1: the character U+D800 cannot be read; allowed: text without control characters",
    ),
    (
        b"a: 1\nb: caf\xe9\n",
        "2: the byte 0xE9 is not UTF-8; allowed: text saved as UTF-8",
    ),
    (
        "a: 1".encode("utf-16"),
        "1: the byte 0xFF is not UTF-8; allowed: text saved as UTF-8",
    ),
    (b"x" * 5_000_000, "the file has 5000000 bytes; allowed: at most 500000"),
    (
        b"\x89PNG\r\n\x1a\n",
        "1: the byte 0x89 is not UTF-8; allowed: text saved as UTF-8",
    ),
]


@pytest.mark.parametrize(("text", "expected"), UNREADABLE, ids=range(len(UNREADABLE)))
def test_what_cannot_be_read_is_one_fault(text, expected):
    assert faults_of(text) == [expected]


@pytest.mark.parametrize(
    ("text", "is_what"),
    [
        ("- a\n- b", "a list"),
        ("[]", "a list"),
        ("just words", "'just words'"),
        ("42", "42"),
        ("null", "empty"),
        ('"x"', "'x'"),
    ],
)
def test_a_file_that_is_no_group_of_keys_is_one_fault(text, is_what):
    (fault,) = faults_of(text)
    assert fault.startswith(
        f"1: a rubric is {is_what}; allowed: the keys format, title,"
    )


def test_a_key_written_twice_names_both_lines():
    text = changed(("language: en", "language: en\nlanguage: de"))
    assert faults_of(text) == [
        "4: 'language' is written twice, first on line 3; allowed: each key once"
    ]


def test_a_key_written_twice_in_json_names_both_lines():
    text = '{"format": "bellside-rubric/1",\n"a": 1,\n\n"a": 2}'
    assert (
        "4: 'a' is written twice, first on line 2; allowed: each key once"
        in faults_of(text)
    )


def test_a_merge_key_is_an_unknown_key_and_merges_nothing():
    (fault,) = faults_of(changed(("language: en", "<<: {language: de}")))
    assert fault.startswith("3: a rubric has the unknown key '<<'; allowed: ")


@pytest.mark.parametrize(
    "start", ["\ufeff", "---\n", "# comment\n", "%YAML 1.2\n---\n"]
)
def test_a_file_may_start_with_a_byte_order_mark_or_a_document_mark(start):
    assert read(start + PULSE_CHECK, "x") == read(PULSE_CHECK, "x")
    assert read((start + PULSE_CHECK).encode(), "x") == read(PULSE_CHECK, "x")


@pytest.mark.parametrize("ending", ["\r\n", "\r"])
def test_line_endings_of_other_systems_are_read_and_counted(ending):
    assert read(PULSE_CHECK.replace("\n", ending), "x") == read(PULSE_CHECK, "x")
    bad = changed(("technique: ask", "technique: asks")).replace("\n", ending)
    assert faults_of(bad)[0].startswith("18: ")


def test_json_may_be_set_in_with_tabs_and_hold_escapes():
    text = json.dumps({"a\n": "\U0001f600 \\ / \t"}, indent="\t")
    document = Document(text, "x")
    assert document.root.entries["a\n"][1].text == "\U0001f600 \\ / \t"


def test_half_a_surrogate_pair_is_no_text():
    text = changed(("title: Two-minute pulse check", 'title: "\\ud83d"'))
    assert faults_of(text) == [
        "2: title holds the character U+D83D; allowed: text without control characters"
    ]


def test_a_json_file_with_nan_is_not_taken_for_a_number():
    text = '{"format": "bellside-rubric/1", "title": "T", "sections": [],\n"pass_percent": NaN}'
    assert "2: pass_percent is 'NaN'; allowed: a number from 0 to 100" in faults_of(
        text
    )


def test_a_file_of_the_greatest_size_is_read():
    comment = "#" * (500_000 - len(PULSE_CHECK.encode()) - 1) + "\n"
    assert read(PULSE_CHECK + comment, "x") == read(PULSE_CHECK, "x")
    assert faults_of(f"{PULSE_CHECK}#{comment}") == [
        "the file has 500001 bytes; allowed: at most 500000"
    ]


def test_yaml_goes_on_for_at_most_250000_characters_and_json_for_more():
    comment = "#" * 250_000 + "\n"
    assert faults_of(comment + PULSE_CHECK) == [
        "2: the file holds more than 250000 characters of YAML; allowed: at most 250000, or all of it as JSON"
    ]
    text = write_json(read(PULSE_CHECK, "x"))
    assert read(" " * 400_000 + text, "x") == read(PULSE_CHECK, "x")


@pytest.mark.parametrize("sign", "!&*%")
def test_a_tag_or_anchor_without_end_is_refused_before_it_is_read(sign):
    assert faults_of(f"a: 1\nb: [{sign}{'x' * 301}]") == [
        "2: a word of more than 300 characters begins with ! & * or %; allowed: text in quotes"
    ]


@pytest.mark.parametrize("text", ["[" + "0, " * 19_999 + "0]", "- 0\n" * 20_000])
def test_a_file_holds_at_most_20000_values(text):
    (fault,) = faults_of(text)
    assert fault.endswith("more than 20000 values; allowed: at most 20000")


def test_no_more_than_200_faults_are_listed():
    keys = "".join(f"k{n}: 1\n" for n in range(10_000))
    faults = faults_of(keys)
    assert len(faults) == 201
    assert faults[0] == "more than 200 faults, of which these are the first"


def test_nothing_in_a_file_is_run(tmp_path):
    made = tmp_path / "made"
    text = f"a: !!python/object/apply:os.mkdir [{made}]"
    assert faults_of(text)[0].endswith("allowed: values without tags")
    assert not made.exists()


@given(
    st.text(alphabet=st.sampled_from("ab1:-?{}[],'\"\\#&*!|>%@`~ \n\t"), max_size=40)
)
def test_any_text_is_either_read_or_refused(text):
    with pytest.raises(Faults) as raised:
        read(text, "x")
    assert all(str(fault).isprintable() for fault in raised.value.faults)


@settings(deadline=None)
@given(st.data())
def test_any_damage_to_a_rubric_is_either_read_or_refused(data):
    start = data.draw(st.integers(0, len(PULSE_CHECK)))
    end = data.draw(st.integers(start, min(len(PULSE_CHECK), start + 30)))
    text = PULSE_CHECK[:start] + data.draw(st.text(max_size=5)) + PULSE_CHECK[end:]
    assert all(fault.isprintable() for fault in faults_if_any(text))


def faults_if_any(text):
    try:
        read(text, "x")
    except Faults as faults:
        return [str(fault) for fault in faults.faults]
    return []
