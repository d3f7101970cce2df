from dataclasses import replace
from fractions import Fraction

import pytest

from rubric.definition import Grid, Technique, expand
from rubric.definition.keys import axis_key, is_axis_name, is_key

GRID = Grid(
    key="heart.listen",
    text="Listens at the {site} with the {instrument}",
    technique=Technique.AUSCULTATE,
    sites=("Apex", "Left sternal edge"),
    sides=(),
    instruments=("diaphragm", "bell"),
    points=Fraction(1),
    expects="Names the {site}",
    source="Common practice",
    may_excuse=True,
    say=("heart",),
)


def test_a_grid_goes_site_by_site_then_side_then_instrument():
    grid = replace(GRID, sides=("left", "right"))
    cells = [(e.site, e.side, e.instrument) for e in expand(grid)]
    assert cells == [
        (site, side, instrument)
        for site in ("Apex", "Left sternal edge")
        for side in ("left", "right")
        for instrument in ("diaphragm", "bell")
    ]


def test_keys_join_the_axes_a_grid_has():
    assert [element.key for element in GRID.elements] == [
        "heart.listen.apex.diaphragm",
        "heart.listen.apex.bell",
        "heart.listen.left-sternal-edge.diaphragm",
        "heart.listen.left-sternal-edge.bell",
    ]


def test_placeholders_become_the_cells_own_words():
    element = GRID.elements[-1]
    assert element.text == "Listens at the Left sternal edge with the bell"
    assert element.expects == "Names the Left sternal edge"


def test_an_element_keeps_what_its_grid_says():
    element = GRID.elements[0]
    assert (element.grid, element.side) == ("heart.listen", None)
    assert (element.source, element.may_excuse, element.say) == (
        "Common practice",
        True,
        ("heart",),
    )
    assert element.points == 1


def test_shared_points_are_split_exactly():
    grid = replace(
        GRID, points=None, points_shared=Fraction(1), instruments=("a", "b", "c")
    )
    assert {element.points for element in expand(grid)} == {Fraction(1, 6)}
    assert sum(element.points for element in expand(grid)) == 1


@pytest.mark.parametrize("shared", [None, Fraction(2)])
def test_a_grid_has_one_kind_of_points(shared):
    points = None if shared is None else Fraction(1)
    with pytest.raises(ValueError, match="either points or points_shared"):
        expand(replace(GRID, points=points, points_shared=shared))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("dorsalis pedis", "dorsalis-pedis"),
        ("Radial", "radial"),
        ("2nd right space", "2nd-right-space"),
        ("mid-clavicular line", "mid-clavicular-line"),
        ("Fußrücken", "fußrücken"),
        ("fe\u0301moral", "f\u00e9moral"),
    ],
)
def test_a_names_key_is_lower_case_with_hyphens(name, key):
    assert axis_key(name) == key
    assert is_axis_name(name)


@pytest.mark.parametrize(
    "name", ["", " ", "a  b", "a b ", "-a", "a_b", "a.b", "a/b", "Erb's", "½"]
)
def test_a_name_without_a_proper_key_is_refused(name):
    assert not is_axis_name(name)


@pytest.mark.parametrize(
    "key", ["a", "a1", "1", "a-b", "a.b", "a-b.c-d.e", "é", "नाड़ी", "脈"]
)
def test_a_key_is_lower_case_words(key):
    assert is_key(key)


@pytest.mark.parametrize(
    "key",
    [
        "",
        "A",
        "É",
        "e\u0301",
        "a.",
        ".a",
        "a..b",
        "a--b",
        "a b",
        "a_b",
        "*",
        "a.*",
        "a\n",
    ],
)
def test_anything_else_is_no_key(key):
    assert not is_key(key)
