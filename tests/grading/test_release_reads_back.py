"""Whatever a marker types, and whenever, a release can be recomputed from it."""

import json

import pytest

from grading.forms.desk import read_save
from grading.models import Release
from tests.factories import MarkingFactory, change, mark_all

ODD = [
    " outer spaces ",
    "a\tb",
    "bell \x07",
    "two\nlines",
    "\u202eright to left",
    "é 中 ع",
    "x" * 500,
]


@pytest.mark.parametrize("words", ODD)
def test_a_reason_in_any_words_is_released_and_recomputed(db, words):
    marking = mark_all(MarkingFactory())
    key = "pulses.palpate.radial.left"
    stands = marking.targets[f"element:{key}"]["change"]
    sent = {
        "id": "5f0c3c7e-6a0a-4a77-9d57-0a4f0d6f3a11",
        "target": f"element:{key}",
        "after": stands,
        "value": {"state": "excused", "at": 3, "reason": words},
    }
    body = {"person": marking.marker_id, "version": 1, "changes": [sent]}
    save = read_save(json.dumps(body).encode(), marking.definition)
    marking.record(save.changes, by=marking.marker)
    release = Release.of_marking(marking, by=marking.marker)
    assert release.recomputed() == {}


def test_marks_after_the_length_that_the_student_typed_are_released(db):
    marking = mark_all(MarkingFactory())
    late = change(marking, "element:opening.hygiene", {"state": "done", "at": 130.25})
    seen = change(marking, "sighting:s1", {"rule": "carried-on", "at": 140})
    start = change(marking, "start", {"at": 150})
    marking.record([late, seen, start], by=marking.marker)
    release = Release.of_marking(marking, by=marking.marker)
    assert release.recomputed() == {}
