import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.statistics import states

ANY_STATE = st.one_of(
    st.tuples(st.sampled_from(sorted(states.CODES)), st.none()),
    st.tuples(st.just("level"), st.integers(1, 239)),
)
ANY_MOMENT = st.one_of(st.none(), st.integers(0, states.LAST_MOMENT))


@given(st.lists(ANY_STATE))
def test_unpacking_gives_back_the_states_packed(sheet):
    assert states.unpack(states.pack(sheet)) == sheet


@given(st.lists(ANY_MOMENT))
def test_unpacking_gives_back_the_moments_packed(moments):
    assert states.unpack_moments(states.pack_moments(moments)) == moments


def test_each_state_has_the_byte_that_stored_releases_use():
    sheet = [(name, None) for name in states.CODES] + [("level", 1), ("level", 7)]
    assert states.pack(sheet) == bytes([0, 1, 2, 3, 4, 5, 6, 17, 23])


def test_moments_are_little_endian_milliseconds_and_minus_one_for_none():
    assert states.pack_moments([258, None]) == b"\x02\x01\x00\x00\xff\xff\xff\xff"


@pytest.mark.parametrize(
    ("pair", "message"),
    [
        (("skipped", None), "a state must be one of open, done, .* but got 'skipped'"),
        (("done", 2), "only the state level has a level"),
        (("level", None), "a level must be 1 to 239, but got None"),
        (("level", 0), "a level must be 1 to 239, but got 0"),
        (("level", 240), "a level must be 1 to 239, but got 240"),
    ],
)
def test_a_state_that_cannot_be_kept_is_refused(pair, message):
    with pytest.raises(ValueError, match=message):
        states.pack([pair])


@pytest.mark.parametrize("code", [7, 15, 16])
def test_a_byte_that_is_no_state_is_refused(code):
    with pytest.raises(ValueError, match=f"no state has the code {code}"):
        states.unpack(bytes([code]))


@pytest.mark.parametrize("moment", [-1, 2**31])
def test_a_moment_out_of_range_is_refused(moment):
    with pytest.raises(ValueError, match="a moment must be 0 to"):
        states.pack_moments([moment])


@pytest.mark.parametrize("packed", [b"\x00\x00\x00", b"\xfe\xff\xff\xff"])
def test_bytes_that_are_no_moments_are_refused(packed):
    with pytest.raises(ValueError, match="moment"):
        states.unpack_moments(packed)


def test_rows_become_students_by_elements():
    rows = (states.pack([("done", None), ("level", n)]) for n in (1, 2, 3))
    assert states.to_array(rows, 2).tolist() == [[1, 17], [1, 18], [1, 19]]


def test_no_rows_make_an_array_of_no_students():
    assert states.to_array([], 90).shape == (0, 90)


def test_a_row_of_another_edition_is_refused():
    with pytest.raises(ValueError, match="2 bytes long, but one has 3"):
        states.to_array([b"\x01\x01", b"\x01\x01\x01"], 2)


def test_packing_a_sheet_does_not_load_numpy():
    code = (
        "import sys; from grading.statistics.states import pack;"
        "pack([('done', None)]); print('numpy' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert run.stdout == "False\n"
