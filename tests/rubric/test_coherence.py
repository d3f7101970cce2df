"""What no single value shows: each with its line and its exact words."""

import pytest

from rubric.definition import read
from tests.rubric.files import changed, faults_of

LEVEL_2 = "{label: explains some steps, credit: 0.5}"
EXTRA = "{key: %s, text: T, technique: state, points: 1}"

CHANGES = [
    (
        "key: manner\n",
        "key: pulses\n",
        "36: the key 'pulses' is used twice; allowed: a key of its own",
    ),
    (
        "key: manner.explains",
        "key: opening.consent",
        "39: the key 'opening.consent' is used twice; allowed: a key of its own",
    ),
    (
        "key: manner.explains",
        "key: pulses.palpate.radial.left",
        "39: the key 'pulses.palpate.radial.left' is used twice; allowed: a key of its own",
    ),
    (
        "key: manner.explains",
        "key: pulses.palpate",
        "39: the key 'pulses.palpate' is used twice; allowed: a key of its own",
    ),
    (
        "[left, right]",
        "[left, Left]",
        "29: the key 'pulses.palpate.radial.left' is used twice; allowed: a key of its own",
    ),
    (
        "key: length",
        "key: arms-first",
        "51: the key 'arms-first' is used twice; allowed: a key of its own",
    ),
    (
        "key: length",
        "key: opening.consent",
        "51: the key 'opening.consent' is used twice; allowed: a key of its own",
    ),
    (
        "{label: explains every step, credit: 1}",
        "{label: explains every step, credit: 0.4}",
        "46: a level earns less credit than the one before it; allowed: levels from the lowest to the highest",
    ),
    (
        "label: explains every step",
        "label: does not explain",
        "46: the level 'does not explain' is there twice; allowed: a label of its own",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: [pulses.palpates.*]",
        "48: 'pulses.palpates.*' matches no element; allowed: keys of elements (nearest: pulses.palpate.*)",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: [pulses.palpate.*, zzz]",
        "48: 'zzz' matches no element; allowed: keys of elements",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: [pulses.palpate]",
        "48: 'pulses.palpate' matches no element; allowed: keys of elements (nearest: pulses.palpate.*)",
    ),
    (
        "first: [pulses.palpate.radial.*]",
        "first: [opening.consent, opening.consent.*]",
        "49: 'opening.consent.*' matches no element; allowed: keys of elements (nearest: opening.consent)",
    ),
    (
        "then: [pulses.palpate.dorsalis-pedis.*]",
        "then: [pulses.*]",
        "49: first and then share 'pulses.palpate.radial.left'; allowed: sides without an element in common",
    ),
    (
        "effect: {deduct: 5}",
        "effect: {deduct: 5}, per: instrument",
        "49: per is instrument, but 'pulses.palpate.radial.left' has no instrument; allowed: an axis that every element of the rule has",
    ),
    (
        "then: [pulses.palpate.dorsalis-pedis.*]",
        "then: [opening.consent], per: site",
        "49: per is site, but 'opening.consent' has no site; allowed: an axis that every element of the rule has",
    ),
    (
        "count: 3",
        "count: 5",
        "48: count is 5, above the number of elements (4); allowed: 1 to 4",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: [pulses.palpate.radial.*, pulses.palpate.radial.left]",
        "48: count is 3, above the number of elements (2); allowed: 1 to 2",
    ),
    (
        "    grids: ",
        "    parts: []\n    grids: ",
        "28: a section has parts beside elements or grids; allowed: parts alone, or elements and grids",
    ),
]


@pytest.mark.parametrize(("old", "new", "expected"), CHANGES)
def test_what_does_not_fit_is_named_with_its_line(old, new, expected):
    assert faults_of(changed((old, new))) == [expected]


def test_a_section_without_elements_is_a_fault():
    text = changed(
        ("rules:\n", "  - {key: rest, title: The rest, elements: []}\nrules:\n")
    )
    assert faults_of(text) == [
        "47: a section has no elements; allowed: at least one element or grid"
    ]


def test_a_count_of_all_elements_is_allowed():
    assert read(changed(("count: 3", "count: 4")), "x").rules[0].count == 4


def test_levels_may_earn_the_same():
    text = changed((LEVEL_2, "{label: explains some steps, credit: 0}"))
    assert read(text, "x").elements[-1].levels[1].credit == 0


def test_a_section_and_an_element_may_share_a_key():
    assert read(changed(("key: manner\n", "key: opening.consent\n")), "x")


def test_the_line_of_a_selector_is_its_own():
    text = changed(("of: [pulses.palpate.*]", "of: [\n    opening.*,\n    nothing.*]"))
    assert faults_of(text) == [
        "50: 'nothing.*' matches no element; allowed: keys of elements (nearest: opening.*)"
    ]


def test_a_rubric_has_at_most_1000_elements():
    keys = [f"manner.k{n}" for n in range(995)]
    more = "".join(f"      - {EXTRA % key}\n" for key in keys)
    at_most = changed(
        ("rules:\n", f"{more[: -len(more.splitlines()[-1]) - 1]}rules:\n")
    )
    assert len(read(at_most, "x").elements) == 1000
    assert faults_of(changed(("rules:\n", f"{more}rules:\n"))) == [
        "1041: the rubric has more than 1000 elements; allowed: at most 1000, counting each of a grid"
    ]


def test_a_grid_is_counted_before_it_is_made():
    names = ", ".join(f"n{n}" for n in range(50))
    text = changed(
        ("[radial, dorsalis pedis]", f"[{names}]"),
        ("[left, right]", f"[{names}]"),
        ("instruments: []", f"instruments: [{names}]"),
    )
    assert faults_of(text) == [
        "29: the rubric has more than 1000 elements; allowed: at most 1000, counting each of a grid"
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("key: pulses.palpate ", "key: Pulses "),
        ("sites: [radial, dorsalis pedis]", "sites: radial"),
        ("sides: [left, right]", "sides: [left, '?']"),
        ("    grids: ", "    grids: 5\n    gridz: "),
        ("    grids: ", f"    elements: [{EXTRA % 'k'}]\n    grids: 5\n    gridz: "),
        ("sections:\n", "sections: 5\nsectionz:\n"),
    ],
)
def test_selectors_are_not_blamed_for_keys_that_cannot_be_read(old, new):
    assert "matches no element" not in " ".join(faults_of(changed((old, new))))


def test_an_unreadable_level_is_not_compared():
    text = changed(("every step, credit: 1}", "every step, credit: whole}"))
    assert faults_of(text) == ["46: credit is 'whole'; allowed: a number from 0 to 1"]
