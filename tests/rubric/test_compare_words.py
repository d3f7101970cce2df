"""A comparison in words."""

from hypothesis import given, settings

from rubric.definition import compare, read
from rubric.definition.compare_words import LONGEST_NOTE, lines, note
from tests.factories import PULSE_CHECK
from tests.rubric.definitions import definitions

TEXT = PULSE_CHECK.read_text(encoding="utf-8")
BEFORE = read(TEXT, "before")


def test_a_note_says_each_kind_of_change_in_words():
    text = (
        TEXT.replace("points: 2", "points: 3")
        .replace("Feels the {site} pulse", "Finds the {site} pulse")
        .replace("pass_percent: 75", "pass_percent: 80")
    )
    assert note(compare(BEFORE, read(text, "after"))) == (
        "Reworded: Finds the … pulse (4 elements). "
        "Re-weighted: Asks permission to examine and to record (points 2 to 3). "
        "Changed: The whole rubric (pass mark 75% to 80%)."
    )


def test_a_note_of_nothing_is_empty():
    assert note(compare(BEFORE, BEFORE)) == ""


@settings(max_examples=15)
@given(definitions(), definitions())
def test_a_note_fits_its_field_and_every_change_has_a_line(one, other):
    comparison = compare(one, other)
    assert len(note(comparison)) <= LONGEST_NOTE
    changes = [v for k, v in vars(comparison).items() if k != "pairs"]
    assert len(lines(comparison)) == sum(map(len, changes))
    assert all(line.word and line.sign for line in lines(comparison))
