"""Each picture's marks, counted and placed."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.pictures import bars, intervals, spine, strip
from grading.pictures.intervals import Rate

RATE = Rate(0.43, 0.30, 0.58)


def words(name):
    return [line.text for line in name.lines]


def test_the_axis_ends_at_the_first_tick_past_the_highest_limit():
    assert intervals.scale(0.58).end == 0.6
    assert intervals.scale(0.3).end == 0.3
    assert intervals.scale(1.0).end == 1.0


def test_the_axis_has_at_most_eight_spaces():
    for percent in range(101):
        assert len(intervals.scale(percent / 100).ticks()) <= 9


def test_a_cohort_that_left_nothing_out_still_has_an_axis():
    assert intervals.scale(0.0).ticks() == [0.0, 0.02]


def test_the_axis_says_each_tick_in_percent():
    drawn = intervals.axis(intervals.scale(0.58))
    assert [tick.text for tick in drawn.ticks] == [
        "0%", "10%", "20%", "30%", "40%", "50%", "60%",
    ]  # fmt: skip
    assert (drawn.ticks[0].x, drawn.ticks[-1].x) == (16, drawn.width - 16)


def test_rows_share_the_places_of_the_axis():
    scale = intervals.scale(0.58)
    row = intervals.row(scale, "Apex", RATE, None)
    assert [t.x for t in row.ticks] == [t.x for t in intervals.axis(scale).ticks]
    assert row.this.low == row.ticks[3].x


def test_a_row_says_both_rates_in_words():
    row = intervals.row(intervals.scale(0.7), "Apex", RATE, Rate(0.22, 0.12, 0.37))
    assert row.title == (
        "Apex: 43%, interval 30% to 58%; compared with 22%, interval 12% to 37%"
    )
    assert row.other.x < row.this.x


def test_a_row_without_a_rate_is_drawn_empty():
    row = intervals.row(intervals.scale(0.7), "Apex", None, None)
    assert (row.this, row.other, row.title) == (None, None, "Apex: no rate")


def test_a_rate_beyond_the_axis_is_refused():
    with pytest.raises(ValueError, match=r"must be 0 to 0\.2 here, but got 0\.3"):
        intervals.row(intervals.scale(0.2), "Apex", Rate(0.3, 0.1, 0.2), None)


def test_a_bar_is_as_long_as_the_share_earned():
    drawn = bars.bar(0.5, "Closing: 2 of 4 points")
    assert (drawn.filled, drawn.minimum) == (drawn.width / 2, None)


def test_the_stroke_stands_at_the_section_minimum():
    assert bars.bar(8 / 12, "", minimum_percent=60).minimum == 156.0
    assert bars.bar(8 / 12, "", minimum_percent=0).minimum == 0.0


def test_a_section_that_could_not_be_judged_has_an_empty_bar():
    assert bars.bar(None, "Closing: nothing could be judged").filled == 0


@pytest.mark.parametrize(("share", "minimum"), [(1.01, None), (-0.1, None), (0.5, 101)])
def test_a_bar_out_of_range_is_refused(share, minimum):
    with pytest.raises(ValueError, match="must be 0 to"):
        bars.bar(share, "", minimum)


def test_a_strip_has_a_cell_for_each_section_of_each_cohort():
    drawn = strip.strip(["a", "b", "c"], ["one", "two"], [[0.1, 0.2]] * 3)
    assert len(drawn.cells) == 6
    assert len({(cell.x, cell.y) for cell in drawn.cells}) == 6


def test_every_cell_of_a_strip_says_its_value():
    drawn = strip.strip(["a"], ["one", "two", "three"], [[0.104, 0.0, None]])
    assert [cell.text for cell in drawn.cells] == ["10%", "0%", "no rate"]


def test_the_highest_rate_of_a_strip_is_the_darkest():
    drawn = strip.strip(["a"], ["one", "two"], [[0.2, 0.4]])
    assert [cell.shade for cell in drawn.cells] == [0.175, strip.DARKEST]


def test_a_strip_without_omissions_has_no_shade():
    assert strip.strip(["a"], ["one"], [[0.0]]).cells[0].shade == 0


def test_a_small_group_shows_its_counts_instead():
    drawn = strip.strip(["a"], ["one"], [[None]], [["3 of 8"]])
    assert drawn.cells[0].text == "3 of 8"


def test_a_long_name_takes_two_lines_and_keeps_its_whole_text():
    long = "Pulses, capillary refill, edema and temperature of all four limbs"
    (name,) = strip.strip([long], [], [[]]).sections
    assert words(name) == ["Pulses, capillary refill,", "edema and temperature of…"]
    assert name.whole == long


@pytest.mark.parametrize("rates", [[[0.1]], [[0.1, 0.2], [0.1, 0.2]], [[0.1, 1.2]]])
def test_a_strip_of_another_shape_or_range_is_refused(rates):
    with pytest.raises(ValueError, match=r"a row a section|must be 0 to 1"):
        strip.strip(["a"], ["one", "two"], rates)


def test_the_ruler_ends_at_the_first_tick_after_the_recording():
    assert spine.spine(18 * 60 + 20).seconds == 19 * 60
    assert spine.spine(100).seconds == 100


def test_the_ruler_holds_a_mark_later_than_the_stated_length():
    drawn = spine.spine(100, [spine.Moment(130, "done")])
    assert drawn.seconds == 130
    assert drawn.marks[0].y + 5 == drawn.bottom


def test_long_ticks_say_the_time():
    texts = [tick.text for tick in spine.spine(18 * 60).ticks if tick.text]
    assert texts == ["0:00", "5:00", "10:00", "15:00"]


@given(st.integers(0, 100 * 3600))
def test_ticks_never_crowd(length):
    ticks = spine.spine(length).ticks
    assert 2 <= len(ticks) <= 31 or length > 30 * 3600


def test_marks_lie_at_their_moments():
    drawn = spine.spine(1200, [spine.Moment(600, "missed", "Apex: missed, 10:00")])
    mark = drawn.marks[0]
    assert (mark.y + 5, mark.state, mark.title) == (
        290,
        "missed",
        "Apex: missed, 10:00",
    )


def test_marks_of_nearly_one_moment_are_spread_sideways():
    drawn = spine.spine(1200, [spine.Moment(600 + i, "done") for i in range(4)])
    assert [mark.x for mark in drawn.marks] == [38, 48, 58, 68]


def test_a_mark_that_has_room_again_lies_at_the_ruler():
    drawn = spine.spine(1200, [spine.Moment(t, "done") for t in (0, 1, 60)])
    assert [mark.x for mark in drawn.marks] == [38, 48, 38]


@given(st.lists(st.floats(0, 1200), max_size=60))
def test_marks_lie_over_each_other_only_where_no_lane_is_free(times):
    marks = spine.spine(1200, [spine.Moment(t, "done") for t in times]).marks
    for one, other in pairwise(sorted(marks, key=lambda mark: (mark.x, mark.y))):
        if one.x == other.x and other.y - one.y < spine.GLYPH:
            near = [m for m in marks if abs(m.y - other.y) < spine.GLYPH]
            assert len(near) > spine.LANES


def test_comments_stand_clear_of_the_marks():
    marks = [spine.Moment(300 + i, "done") for i in range(3)]
    drawn = spine.spine(1200, marks, comments=[300, 301])
    assert min(c.x for c in drawn.comments) > max(m.x for m in drawn.marks) + 10
    assert drawn.comments[0].x != drawn.comments[1].x


def test_unplayed_parts_and_the_present_moment_are_on_the_ruler_and_in_words():
    drawn = spine.spine(1200, unplayed=[(300, 600)], now=608)
    assert (drawn.unplayed[0].start, drawn.unplayed[0].end) == (150, 290)
    assert drawn.title == (
        "Time spine of 20:00: 0 marks, 0 comments; not played: 5:00 to 10:00; now at 10:08"
    )


def test_a_spine_names_the_states_it_must_draw():
    marks = [
        spine.Moment(t, state) for t, state in ((9, "said"), (5, "done"), (7, "said"))
    ]
    assert spine.spine(60, marks).states == ("done", "said")


@pytest.mark.parametrize("part", [(-1, 5), (9, 5)])
def test_a_part_of_impossible_times_is_refused(part):
    with pytest.raises(ValueError, match="times on a spine count from 0"):
        spine.spine(60, unplayed=[part])
