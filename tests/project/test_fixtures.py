"""The fixtures are whole, agree with each other, and come to what their author added up."""

import json
import re
import shutil
import struct
from collections import Counter
from io import StringIO

import pytest
import webvtt
from django.core.management import CommandError, call_command
from PIL import Image
from ruamel.yaml import YAML

from grading.film.frame import camera as camera_of
from grading.film.frame import in_picture
from grading.film.script import captions, expected_sheet, read_script, seconds
from grading.scoring import as_json, read_marks, score
from rubric.definition import State, read, select
from tests.project.tree import ROOT

FIXTURES = ROOT / "fixtures"
DEMO = FIXTURES / "demo"
RECORDING = DEMO / "public" / "recording.webm"
RUBRICS = sorted((FIXTURES / "rubrics").glob("*.yaml"))
SCRIPT = read_script(DEMO / "script.yaml")


def rubric(path):
    return read(path.read_bytes(), path.name)


CARDIOVASCULAR = rubric(FIXTURES / "rubrics" / SCRIPT.rubric)
KEYS = [element.key for element in CARDIOVASCULAR.elements]


def load(name):
    return YAML(typ="safe").load(DEMO / name)


@pytest.mark.parametrize("path", RUBRICS, ids=lambda path: path.stem)
def test_every_element_says_what_is_expected_and_where_that_comes_from(path):
    bare = [e.key for e in rubric(path).elements if not (e.expects and e.source)]
    assert bare == []


@pytest.mark.parametrize("path", RUBRICS, ids=lambda path: path.stem)
def test_every_rubric_carries_the_caution(path):
    top = " ".join(path.read_text().partition("\nformat:")[0].replace("#", "").split())
    assert "no clinical guidance: local policy, licensed supervision" in top


def test_the_cardiovascular_rubric_has_94_elements_that_weigh_100_points():
    assert len(KEYS) == 94
    assert sum(element.points for element in CARDIOVASCULAR.elements) == 100


def test_the_cardiovascular_rubric_uses_each_kind_of_rule_and_effect():
    rules = CARDIOVASCULAR.rules
    assert {r.kind for r in rules} == {"at_least", "before", "hazard", "within"}
    assert {r.effect.kind for r in rules} == {"flag", "deduct", "cap", "fail"}


def test_the_expected_sheet_marks_every_element_once():
    marks = json.loads((DEMO / "expected.json").read_text())["marks"]
    assert sorted(mark["element"] for mark in marks) == sorted(KEYS)


def test_the_expected_sheet_and_the_captions_follow_from_the_script():
    assert json.loads((DEMO / "expected.json").read_text()) == expected_sheet(SCRIPT)
    assert (DEMO / "recording.vtt").read_text("utf-8") == captions(SCRIPT)


def test_the_expected_sheet_comes_to_what_was_added_up_by_hand():
    sheet = read_marks(
        (DEMO / "expected.json").read_bytes(), "expected.json", CARDIOVASCULAR
    )
    result = as_json(score(CARDIOVASCULAR, sheet))
    told = dict(SCRIPT.result)
    fails = [
        check["key"]
        for check in result["checks"]
        if check["result"] == "violated" and check["effect"] == "fail"
    ]
    assert fails == told.pop("because")
    assert {key: result[key] for key in told} == told


def test_without_the_persons_ruling_the_clock_leaves_the_sheet_incomplete():
    document = expected_sheet(SCRIPT) | {"rulings": []}
    sheet = read_marks(json.dumps(document), "expected.json", CARDIOVASCULAR)
    checks = {
        c["key"]: c["result"] for c in as_json(score(CARDIOVASCULAR, sheet))["checks"]
    }
    assert checks["feet-last"] == "awaited"


def test_the_recording_lasts_as_long_as_the_script():
    # RFC 9559, section 5.1.2: Duration is element 0x4489, here an 8-byte float (size
    # 0x88) in units of TimestampScale, a millisecond by default.
    head = RECORDING.read_bytes()[:4096]
    (milliseconds,) = struct.unpack_from(">d", head, head.index(b"\x44\x89\x88") + 3)
    assert milliseconds / 1000 == SCRIPT.length
    assert 12 * 60 <= SCRIPT.length <= 14 * 60


def test_the_recording_is_light():
    assert RECORDING.stat().st_size < 3_000_000


def test_the_captions_parse_and_stay_inside_their_act():
    cues = webvtt.read(str(DEMO / "recording.vtt")).captions
    spoken = [
        (act.at, SCRIPT.end(i), act) for i, act in enumerate(SCRIPT.acts) if act.say
    ]
    assert [cue.text for cue in cues] == [act.say for _, _, act in spoken]
    assert {cue.voice for cue in cues} == {"Student", "Volunteer"}
    for cue, (start, end, _) in zip(cues, spoken, strict=True):
        assert start == cue.start_in_seconds < cue.end_in_seconds <= end


def test_what_is_only_said_is_said_with_the_hands_at_rest():
    said = [act for act in SCRIPT.acts if act.how == "said"]
    assert [act.element for act in said if act.touch or not act.say] == []


def test_what_is_not_seen_is_out_of_the_picture_and_all_else_is_in_it():
    for act in SCRIPT.acts:
        places = [in_picture(camera_of(act.view), n) for n in act.touch + act.look]
        assert all(places) is (act.how != "unseen"), act


def test_the_readme_tells_the_moments_of_the_script():
    table = (FIXTURES / "README.md").read_text().partition("Marking it is")[2]
    told = re.findall(r"\b\d+:\d\d\b", table.partition("Chromium")[0])
    assert {seconds(moment) for moment in told} <= {act.at for act in SCRIPT.acts}
    counts = Counter(act.how for act in SCRIPT.acts)
    for words, state in (
        ("done with a fault", "partly"),
        ("said only", "said"),
        ("out of the picture", "unseen"),
        ("excused", "excused"),
    ):
        assert f"| {words} | {counts[state]} |" in table
    assert f"| left out | {len(SCRIPT.left_out)} |" in table


def test_there_is_a_phrase_for_every_element_and_none_for_another_state():
    groups = load("phrases.yaml")["phrases"]
    covered = [
        key for group in groups for key in select(CARDIOVASCULAR, [group["for"]])
    ]
    assert sorted(covered) == sorted(KEYS)
    for comment in (c for group in groups for c in group["comments"]):
        assert comment["kind"] in {"strength", "improve", "question"}
        assert set(comment["states"]) <= set(State)
        assert comment["text"][-1] in ".?"


def test_the_people_are_85_students_in_two_cohorts_and_nobody_twice():
    people = load("people.yaml")
    cohorts = [cohort["students"] for cohort in people["cohorts"]]
    assert [len(students) for students in cohorts] == [44, 41]
    assert len(people["instructors"]) == 5
    staff = [people["administrator"], people["lead"], *people["instructors"]]
    everybody = sum(cohorts, staff)
    assert len({p["email"] for p in everybody}) == len(everybody) == 92
    assert all(p["email"].endswith("@demo.invalid") for p in everybody)


@pytest.fixture
def folder(tmp_path):
    shutil.copy(DEMO / "script.yaml", tmp_path)
    return tmp_path


def test_drawing_a_still_makes_one_picture(folder):
    call_command("draw_recording", folder=folder, still=["5:35", folder / "still.png"])
    with Image.open(folder / "still.png") as picture:
        assert picture.size == (960, 540)
        assert len(picture.getcolors(1 << 20)) > 50


def test_drawing_the_texts_leaves_the_recording_alone(folder):
    call_command("draw_recording", folder=folder, texts_only=True, stdout=StringIO())
    for name in ("recording.vtt", "expected.json"):
        assert (folder / name).read_bytes() == (DEMO / name).read_bytes()
    assert not (folder / "public").exists()


@pytest.mark.parametrize(
    ("old", "new", "complaint"),
    [
        ('at: "0:14"', 'at: "0:04"', "the act at 0:04 is out of order"),
        ('at: "0:14"', 'at: "0.14"', "'0.14' is not a time like 6:10"),
        ("how: partly", "how: nearly", "how must be one of done, partly"),
        ("note: rubs", "nota: rubs", "unknown nota"),
        ("left_out:", "out:", "left_out missing"),
        ("acts:", "acts: {", "while parsing a flow node"),
        ("bellside-demo-script/1", "x", "format must be bellside-demo-script/1"),
    ],
)
def test_a_script_that_cannot_be_followed_says_why(folder, old, new, complaint):
    path = folder / "script.yaml"
    path.write_text(path.read_text().replace(old, new, 1))
    with pytest.raises(CommandError, match=re.escape(complaint)):
        call_command("draw_recording", folder=folder, texts_only=True)


@pytest.mark.parametrize(
    ("old", "new", "complaint"),
    [
        ("touch: [aorta]", "touch: [aorta, left]", "'left' is no place on the figure"),
        ("view: belly", "view: tummy", "view must be one of whole, upper, neck"),
    ],
)
def test_a_picture_that_cannot_be_drawn_says_why(folder, old, new, complaint):
    path = folder / "script.yaml"
    path.write_text(path.read_text().replace(old, new, 1))
    with pytest.raises(CommandError, match=re.escape(complaint)):
        call_command("draw_recording", folder=folder, still=["9:40", "unused.png"])
