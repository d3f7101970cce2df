"""Whatever is shown of two selections, taking one from the other tells of no student."""

from hypothesis import given
from hypothesis import strategies as st

from grading.cohort import Row, Selection, levels_of, selections_of
from grading.disclosure import FEWEST, FEWEST_COUNTED, levels


def rows(*releases):
    """Rows of (student, attempt, marker)."""
    return [Row(n, *release, b"") for n, release in enumerate(releases)]


ONE_EACH = {n: n for n in range(40)}


def test_ten_students_have_rates_three_have_counts_and_two_have_nothing():
    found = {n: levels({"a": range(n)}, ONE_EACH)["a"] for n in (10, 9, 3, 2, 0)}
    assert found == {
        10: "rates",
        9: "counts",
        3: "counts",
        2: "nothing",
        0: "nothing",
    }


def test_what_comes_later_gives_way():
    found = levels({"all": range(30), "most": range(21), "nearly": range(28)}, ONE_EACH)
    assert found == {"all": "rates", "most": "counts", "nearly": "nothing"}


def test_a_student_with_two_recordings_is_one_student():
    assert levels({"a": range(12)}, dict.fromkeys(range(12), 1)) == {"a": "nothing"}


def test_a_lone_marker_is_not_told_by_taking_the_others_from_all():
    everyone = rows(*[(n, 1, 1 + n // 12) for n in range(24)], (30, 1, 3))
    found = levels_of(everyone)
    assert found[Selection("first")] == "rates"
    hidden = [m for m in (1, 2, 3) if found[Selection("first", m)] == "nothing"]
    assert len(hidden) == 2


def test_a_marker_of_nobody_is_no_reason_to_hide_another():
    everyone = rows(*[(n, 1, 1 + n % 2) for n in range(30)])
    found = levels_of(everyone)
    assert found[Selection("first", 1)] == found[Selection("first", 2)] == "rates"


SCHOOLS = st.lists(
    st.tuples(st.integers(0, 30), st.integers(1, 3), st.integers(1, 3)),
    max_size=70,
    unique_by=lambda release: release[:2],
)


@given(SCHOOLS)
def test_no_two_selections_leave_a_few_students_between_them(school):
    everyone = rows(*sorted(school, key=lambda release: release[1]))
    student_of = {row.release: row.student for row in everyone}
    found = levels_of(everyone)
    chosen = {
        key: {row.release for row in own}
        for key, own in selections_of(everyone).items()
        if found[key] != "nothing"
    }
    for one, a in chosen.items():
        for other, b in chosen.items():
            left = {student_of[release] for release in a ^ b}
            if a & b and left:
                assert len(left) >= FEWEST_COUNTED
                if found[one] == found[other] == "rates":
                    assert len(left) >= FEWEST


@given(SCHOOLS)
def test_all_less_every_marker_shown_leaves_nothing_or_enough(school):
    everyone = rows(*sorted(school, key=lambda release: release[1]))
    found = levels_of(everyone)
    hidden = {
        row.student
        for key, own in selections_of(everyone).items()
        if key.attempt == "first" and key.marker and found[key] == "nothing"
        for row in own
    }
    shown = [k for k in found if k[0] == "first" and k[1] and found[k] != "nothing"]
    if found[Selection("first")] != "nothing" and shown:
        assert not hidden or len(hidden) >= FEWEST_COUNTED
