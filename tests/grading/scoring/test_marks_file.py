"""Marks files: what they say, every fault with its line and words, and back again."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.scoring import Mark, Ruling, Sheet, Sighting, read_marks, write_marks
from rubric.definition.values import State
from rubric.faults import Faults
from tests.grading.scoring.pulse import PULSE_CHECK, RATED
from tests.grading.scoring.rubrics import rubric
from tests.grading.scoring.strategies import marked

# The contract's own example.
EXAMPLE = """\
{"format": "bellside-marks/1", "length_seconds": 118, "start_at": 0, "extra_minutes": 0, "global_rating": 3,
 "marks": [{"element": "opening.consent", "state": "done", "at": 3.5},
           {"element": "manner.explains", "state": "level", "level": 3},
           {"element": "pulses.palpate.radial.left", "state": "excused", "reason": "Arm in plaster"}],
 "hazards": [{"rule": "both-carotids", "at": 61, "confirmed": true}],
 "rulings": [{"rule": "arms-first", "result": "met", "note": "Came back to the arm after the volunteer moved"}]}
"""


def faults(text, definition=RATED):
    with pytest.raises(Faults) as caught:
        read_marks(text, "m.json", definition)
    return [str(fault).removeprefix("m.json") for fault in caught.value.faults]


def faults_of(*marks, **more):
    """The faults of a file with these marks on line 2, 3, ..., and these keys on line 1."""
    head = {"format": "bellside-marks/1", "length_seconds": 100} | more
    body = ",\n".join(json.dumps(mark) for mark in marks)
    text = f'{json.dumps(head)[:-1]}, "marks": [\n{body}]}}'
    return faults(text)


def test_the_contracts_example_is_read():
    assert read_marks(EXAMPLE, "m.json", RATED) == Sheet(
        marks=(
            Mark("opening.consent", State.DONE, Decimal("3.5")),
            Mark("manner.explains", State.LEVEL, level=3),
            Mark("pulses.palpate.radial.left", State.EXCUSED, reason="Arm in plaster"),
        ),
        hazards=(Sighting("both-carotids", Decimal(61)),),
        rulings=(
            Ruling(
                "arms-first", "met", "Came back to the arm after the volunteer moved"
            ),
        ),
        global_rating=3,
        length_seconds=Decimal(118),
    )


def test_what_may_be_left_out_has_its_default():
    text = '{"format": "bellside-marks/1", "marks": []}'
    assert read_marks(text.encode(), "m.json", RATED) == Sheet()
    one = read_marks(
        '{"format": "bellside-marks/1", "marks": [], "hazards": [{"rule": "both-carotids"}]}',
        "m.json",
        RATED,
    )
    assert one.hazards == (Sighting("both-carotids", None, confirmed=True),)


def test_null_is_as_good_as_a_key_left_out():
    mark = {"element": "opening.consent", "state": "done"}
    nulls = dict.fromkeys(["at", "level", "reason"])
    ruling = {"rule": "arms-first", "result": "met"}
    text = json.dumps(
        {"format": "bellside-marks/1", "marks": [mark | nulls]}
        | dict.fromkeys(["length_seconds", "global_rating", "start_at"])
        | {"rulings": [ruling | {"note": None}]}
    )
    assert read_marks(text, "m.json", RATED) == Sheet(
        marks=(Mark("opening.consent", State.DONE),),
        rulings=(Ruling("arms-first", "met"),),
    )


CONSENT = {"element": "opening.consent", "state": "done"}
EXPLAINS = {"element": "manner.explains", "state": "level", "level": 1}
STATES = "done, partly, said, missed, unseen, excused"

# one faulty mark, and its fault
MARKS = [
    (
        CONSENT | {"element": "opening.concent"},
        "the rubric has no element 'opening.concent'; allowed: the key of an element "
        "(nearest: opening.consent)",
    ),
    (
        CONSENT | {"element": "x"},
        "the rubric has no element 'x'; allowed: the key of an element",
    ),
    (
        CONSENT | {"element": 5},
        "element is 5; allowed: text, in quotes where it looks like a number, true or "
        "false",
    ),
    (
        CONSENT | {"state": "dune"},
        f"state is 'dune'; allowed: {STATES}, level (nearest: done)",
    ),
    (
        {"element": "opening.consent", "state": "level", "level": 1},
        f"state is 'level', but 'opening.consent' has no levels; allowed: {STATES}",
    ),
    (
        {"element": "manner.explains", "state": "done"},
        "state is 'done', but 'manner.explains' has levels; allowed: level, unseen, "
        "excused",
    ),
    (
        {"element": "manner.explains", "state": "level"},
        "state is 'level', but the key 'level' is missing; allowed: a whole number "
        "from 1 to 3",
    ),
    (EXPLAINS | {"level": 0}, "level is 0; allowed: a whole number from 1 to 3"),
    (EXPLAINS | {"level": 4}, "level is 4; allowed: a whole number from 1 to 3"),
    (EXPLAINS | {"level": 1.5}, "level is 1.5; allowed: a whole number from 1 to 3"),
    (
        EXPLAINS | {"level": "2"},
        "level is the text '2'; allowed: a whole number from 1 to 3",
    ),
    (
        CONSENT | {"level": 2},
        "level is given, but state is 'done'; allowed: level only where state is level",
    ),
    (
        CONSENT | {"state": "excused"},
        "an excused mark has no reason; allowed: a reason, in words",
    ),
    (
        CONSENT | {"state": "excused", "reason": " "},
        "an excused mark has no reason; allowed: a reason, in words",
    ),
    (
        CONSENT | {"state": "excused", "reason": None},
        "an excused mark has no reason; allowed: a reason, in words",
    ),
    (
        CONSENT | {"state": "excused", "reason": 5},
        "reason is 5; allowed: text, in quotes where it looks like a number, true or "
        "false",
    ),
    (CONSENT | {"at": -1}, "at is -1; allowed: a number from 0 to 86400"),
    (CONSENT | {"at": "1:01"}, "at is '1:01'; allowed: a number from 0 to 86400"),
    (
        CONSENT | {"at": 100.25},
        "at is 100.25, beyond the end of the recording; allowed: at most 100",
    ),
    (
        CONSENT | {"stat": "done"},
        "a mark has the unknown key 'stat'; allowed: element, state, at, level, reason "
        "(nearest: state)",
    ),
    (
        {"state": "done"},
        "a mark lacks the key 'element'; allowed: element, state (all needed)",
    ),
    (7, "a mark is 7; allowed: the keys element, state, at, level, reason"),
]


@pytest.mark.parametrize(("mark", "fault"), MARKS)
def test_a_faulty_mark_is_named_with_its_line(mark, fault):
    assert faults_of(mark) == [f":2: {fault}"]


def test_an_element_marked_twice_names_the_first_line():
    assert faults_of(CONSENT, EXPLAINS, CONSENT) == [
        ":4: 'opening.consent' is marked twice, first on line 2; allowed: each element "
        "once"
    ]


# one faulty key beside the marks, and its fault
HEADS = [
    ({"length_seconds": -1}, "length_seconds is -1; allowed: a number from 0 to 86400"),
    (
        {"length_seconds": 86401},
        "length_seconds is 86401; allowed: a number from 0 to 86400",
    ),
    (
        {"length_seconds": True},
        "length_seconds is true; allowed: a number from 0 to 86400",
    ),
    (
        {"start_at": 101},
        "start_at is 101, beyond the end of the recording; allowed: at most 100",
    ),
    ({"extra_minutes": -5}, "extra_minutes is -5; allowed: a number from 0 to 1440"),
    ({"global_rating": 0}, "global_rating is 0; allowed: a whole number from 1 to 4"),
    ({"global_rating": 5}, "global_rating is 5; allowed: a whole number from 1 to 4"),
    (
        {"format": "bellside-marks/9"},
        "format is 'bellside-marks/9'; allowed: bellside-marks/1",
    ),
    (
        {"ratings": 5},
        "a marks file has the unknown key 'ratings'; allowed: format, marks, "
        "length_seconds, start_at, extra_minutes, global_rating, hazards, rulings "
        "(nearest: rulings)",
    ),
    (
        {"hazards": [{"rule": "both-carotid"}]},
        "the rubric has no rule 'both-carotid'; allowed: both-carotids",
    ),
    (
        {"hazards": [{"rule": "arms-first"}]},
        "'arms-first' is a rule of kind before; allowed: both-carotids",
    ),
    (
        {"hazards": [{"rule": "both-carotids", "confirmed": "yes"}]},
        "confirmed is 'yes'; allowed: true or false",
    ),
    (
        {"hazards": [{"rule": "both-carotids", "at": 101}]},
        "at is 101, beyond the end of the recording; allowed: at most 100",
    ),
    (
        {"rulings": [{"rule": "enough-pulses", "result": "met"}]},
        "'enough-pulses' is a rule of kind at_least; allowed: arms-first",
    ),
    (
        {"rulings": [{"rule": "arms-first", "result": "open"}]},
        "result is 'open'; allowed: met, violated, cannot_tell",
    ),
    (
        {"rulings": [{"rule": "arms-first", "result": "met"}] * 2},
        "'arms-first' is ruled on twice, first on line 1; allowed: each rule once",
    ),
    ({"rulings": 5}, "rulings is 5; allowed: a list of at most 10000 items"),
]


@pytest.mark.parametrize(("head", "fault"), HEADS)
def test_a_fault_beside_the_marks_is_named_with_its_line(head, fault):
    assert faults_of(**head) == [f":1: {fault}"]


def test_all_faults_come_at_once_in_the_order_of_their_lines():
    found = faults_of(CONSENT | {"at": -1}, EXPLAINS | {"level": 9}, start_at=101)
    assert [fault.split(" ")[0] for fault in found] == [":1:", ":2:", ":3:"]


def test_a_rubric_without_rating_or_hazards_allows_none():
    text = (
        '{"format": "bellside-marks/1", "marks": [], "global_rating": 2,\n'
        '"hazards": [{"rule": "x"}]}'
    )
    assert faults(text, rubric("a")) == [
        ":1: global_rating is given, but the rubric asks for none",
        ":2: the rubric has no rule 'x'; allowed: none: the rubric has no hazard rule",
    ]


NOT_JSON = [
    ("", ": the file is empty; allowed: YAML or JSON"),
    ("{\n'format': 1}", ":2: not JSON: Expecting property name enclosed in double quotes (column 1)"),
    ("format: bellside-marks/1\nmarks: []", ":1: not JSON: Expecting value (column 1)"),
    ('{"format": "bellside-marks/1",\n "marks": [1 2]}', ":2: not JSON: Expecting ',' delimiter (column 14)"),
    ('{"marks": [\n', ":2: not JSON: Expecting value (column 1)"),
    ("{}\n{}", ":2: not JSON: Extra data (column 1)"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fault"), NOT_JSON)
def test_what_is_not_json_is_said_with_line_and_column(text, fault):
    assert faults(text) == [fault]
    assert faults(text.encode()) == [fault]


def test_a_key_written_twice_is_a_fault():
    text = '{"format": "bellside-marks/1", "marks": [],\n "marks": []}'
    assert faults(text) == [
        ":2: 'marks' is written twice, first on line 1; allowed: each key once"
    ]


@pytest.mark.parametrize(
    "text",
    [
        b"\xff\xfe{",
        "[" * 100_000,
        '{"format": "bellside-marks/1", "marks": [{"element": "opening.consent", '
        '"state": "done", "at": NaN}]}',
        '{"format": "bellside-marks/1", "marks": [], "length_seconds": 1e999999999}',
        '{"format": "bellside-marks/1", "marks": [], "start_at": 1e-999999999}',
        '{"format": "bellside-marks/1", "marks": [], "start_at": ' + "1" * 5000 + "}",
        "[]",
        '"text"',
        " " * 2_000_000,
    ],
    ids=["bytes", "deep", "nan", "huge", "tiny", "digits", "list", "text", "large"],
)
def test_hostile_content_is_a_fault_and_no_crash(text):
    assert faults(text)


def test_a_byte_order_mark_is_let_pass():
    text = '\ufeff{"format": "bellside-marks/1", "marks": []}'
    assert read_marks(text.encode(), "m.json", RATED) == Sheet()


words = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=9)


@settings(max_examples=50, deadline=None)
@given(marked(), words, words)
def test_what_is_written_reads_back_as_the_same_sheet(case, reason, note):
    definition, sheet = case
    sheet = replace(
        sheet,
        marks=tuple(
            replace(m, reason=reason or "x" if m.state is State.EXCUSED else reason)
            for m in sheet.marks
        ),
        rulings=tuple(replace(r, note=note) for r in sheet.rulings),
    )
    text = write_marks(sheet)
    assert read_marks(text, "m.json", definition) == sheet
    assert write_marks(read_marks(text, "m.json", definition)) == text


def test_a_marks_file_is_written_one_mark_a_line():
    sheet = Sheet(
        marks=(
            Mark("opening.consent", State.DONE, Decimal("3.50")),
            Mark("manner.explains", State.LEVEL, level=3),
        ),
        rulings=(Ruling("arms-first", "met", 'Said "wait" first'),),
    )
    assert write_marks(sheet) == (
        '{"format": "bellside-marks/1", "start_at": 0, "extra_minutes": 0,\n'
        ' "marks": [\n'
        '  {"element": "opening.consent", "state": "done", "at": 3.5},\n'
        '  {"element": "manner.explains", "state": "level", "level": 3}],\n'
        ' "hazards": [],\n'
        ' "rulings": [\n'
        '  {"rule": "arms-first", "result": "met", "note": "Said \\"wait\\" first"}]}\n'
    )
    assert read_marks(write_marks(sheet), "m.json", PULSE_CHECK) == sheet
