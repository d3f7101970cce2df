"""Where the marks of a control chart and a funnel lie."""

import pytest

from grading.pictures import control, funnel
from grading.pictures.intervals import scale

FLAT = [funnel.Limits(n, 0.2, 0.4, 0.1, 0.5) for n in funnel.sizes(41)]


def drawn(*groups, limits=FLAT):
    return funnel.funnel(list(groups), 0.3, limits)


@pytest.mark.parametrize(
    ("rate", "outside"), [(0.1, False), (0.4, False), (0.09, True), (0.41, True)]
)
def test_only_what_lies_strictly_beyond_a_limit_is_outside(rate, outside):
    row = control.row(scale(0.6), "Autumn", rate, 0.1, 0.4, 0.2)
    assert row.is_outside is outside
    assert row.low < row.center < row.high


def test_a_larger_group_stands_further_right_and_a_higher_rate_higher_up():
    small, large = drawn((10, 0.5, False), (41, 0.1, True)).dots
    assert small.x < large.x
    assert small.y < large.y  # y counts from the top
    assert (small.is_outside, large.is_outside) == (False, True)


def test_a_label_at_the_right_edge_stands_on_the_left_of_its_dot():
    small, large = drawn((10, 0.3, False), (45, 0.3, False)).dots
    assert (small.anchor, large.anchor) == ("start", "end")
    assert large.label_x < large.x


def test_the_title_counts_who_is_outside():
    title = drawn((10, 0.5, False), (41, 0.1, True)).title
    assert title == "Funnel of 2 groups round 30%: 1 outside the 95% limits"


@pytest.mark.parametrize("largest", [1, 7, 41, 300, 90_000])
def test_sizes_begin_at_one_and_pass_the_largest_group(largest):
    found = funnel.sizes(largest)
    assert found[0] == 1
    assert largest < found[-1]
    limits = [funnel.Limits(n, 0.2, 0.4, 0.1, 0.5) for n in found]
    across = drawn((largest, 0.3, False), limits=limits).across
    assert across[0].text == "0"
    assert len({tick.at for tick in across}) == len(across)


@pytest.mark.parametrize(("groups", "limits"), [([], FLAT), ([(10, 0.5, False)], [])])
def test_a_funnel_of_nothing_is_refused(groups, limits):
    with pytest.raises(ValueError, match="needs groups and limits"):
        drawn(*groups, limits=limits)
