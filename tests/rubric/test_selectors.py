import pytest

from rubric.definition import read, select
from tests.rubric.files import PULSE_CHECK


@pytest.mark.parametrize(
    ("patterns", "positions"),
    [
        (["opening.consent"], [0]),
        (["pulses.*"], [1, 2, 3, 4]),
        (["pulses.palpate.dorsalis-pedis.*"], [3, 4]),
        (["pulses.palpate.dorsalis-pedis.left", "pulses.palpate.radial.*"], [1, 2, 3]),
        (["pulses.palpate.*", "pulses.palpate.radial.left"], [1, 2, 3, 4]),
        (["manner.explains", "opening.consent"], [0, 5]),
        (["pulses"], []),
        (["pulses.palpate"], []),
        (["puls.*"], []),
        (["opening.consent.*"], []),
        ([], []),
    ],
)
def test_selectors_give_each_key_once_in_exam_order(patterns, positions):
    definition = read(PULSE_CHECK, "x")
    keys = [definition.elements[position].key for position in positions]
    assert select(definition, patterns) == tuple(keys)


def test_patterns_may_come_from_any_iterable():
    assert len(select(read(PULSE_CHECK, "x"), (p for p in ["pulses.*"]))) == 4
