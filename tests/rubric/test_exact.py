"""JSON that loses no digit."""

import pytest

from rubric.definition.exact import dumps, for_browser, loads


def test_a_number_that_floating_point_would_shorten_goes_as_its_digits():
    assert (
        for_browser(loads("1234567890.12345678901234")) == "1234567890.12345678901234"
    )
    assert for_browser(loads("[0.1, 7]")) == [0.1, 7]


def test_what_json_cannot_say_is_refused():
    with pytest.raises(TypeError, match="set is not JSON"):
        dumps({1})
