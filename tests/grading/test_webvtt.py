"""Comments as WebVTT, read back by webvtt-py, which follows the W3C's syntax."""

import html

import pytest
import webvtt

from grading.exports.webvtt import Cue, comments_as_webvtt


def cues_of(*cues, length=None):
    text = comments_as_webvtt(cues, title="Pulse check", length=length)
    return webvtt.from_string(text, strict=True)


def test_a_comment_is_a_cue_at_its_moment():
    (cue,) = cues_of(Cue(61.5, "To improve: Radial pulse", "Feel both sides."))
    assert cue.start == "00:01:01.500"
    assert cue.lines == ["To improve: Radial pulse", "Feel both sides."]


def test_cues_stand_in_time_order():
    found = cues_of(Cue(90, "b", "2"), Cue(3, "a", "1"), Cue(3600.25, "c", "3"))
    assert [cue.start for cue in found] == [
        "00:00:03.000",
        "00:01:30.000",
        "01:00:00.250",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "a --> b",
        "00:01.000 --> 00:02.000",
        "<v Somebody>said</v>",
        "5 < 6 & 7 > 2",
        "NOTE: not a note",
        "zero\0byte",
    ],
)
def test_no_text_can_end_its_cue_or_begin_another(text):
    (cue,) = cues_of(Cue(1, "Question", text))
    assert html.unescape(cue.lines[1]) == text.replace(
        "\0", "\N{REPLACEMENT CHARACTER}"
    )


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r", "\n \n\n"])
def test_empty_lines_are_closed_up(ending):
    (cue,) = cues_of(Cue(1, "Question", f"one{ending}{ending}two"))
    assert cue.lines == ["Question", "one", "two"]


@pytest.mark.parametrize(
    ("text", "end"),
    [("ok", "00:00:14.000"), ("x" * 81, "00:00:16.000"), ("x" * 999, "00:00:25.000")],
)
def test_a_cue_lasts_as_long_as_reading_it_takes_within_bounds(text, end):
    (cue,) = cues_of(Cue(10, "Strength", text))
    assert cue.end == end


def test_a_cue_does_not_outlast_the_recording():
    (cue,) = cues_of(Cue(10, "Strength", "Good pace"), length=12.5)
    assert cue.end == "00:00:12.500"


@pytest.mark.parametrize("at", [12.5, 12.4999, 20])
def test_a_cue_at_the_end_of_the_recording_or_after_it_still_ends_after_it_starts(at):
    (cue,) = cues_of(Cue(at, "Strength", "Good pace"), length=12.5)
    assert cue.start < cue.end


def test_comments_without_a_moment_are_notes():
    text = comments_as_webvtt(
        [Cue(None, "To improve", "Speak up --> always"), Cue(2, "Strength", "Calm")],
        title="Pulse check",
        length=None,
    )
    found = webvtt.from_string(text, strict=True)
    assert [cue.lines for cue in found] == [["Strength", "Calm"]]
    assert (
        "NOTE About the whole recording\nTo improve: Speak up --&gt; always\n" in text
    )


def test_without_comments_the_file_is_valid_and_empty():
    assert list(cues_of()) == []
