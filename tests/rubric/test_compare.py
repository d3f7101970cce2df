"""What differs between two definitions, on the pulse check and on random rubrics."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubric.definition import compare, read
from tests.factories import PULSE_CHECK
from tests.rubric.definitions import definitions, elements, lines

TEXT = PULSE_CHECK.read_text(encoding="utf-8")
BEFORE = read(TEXT, "before")


def changed(*pairs):
    """The comparison of the pulse check with itself after texts were replaced."""
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return compare(BEFORE, read(text, "after"))


def filled(comparison):
    """The names of the lists that hold something."""
    return {
        name for name, value in vars(comparison).items() if value and name != "pairs"
    }


@pytest.mark.parametrize(
    ("old", "new", "where", "what"),
    [
        ("Cleans hands in view", "Rubs hands", "reworded", "words"),
        ("Feels the {site} pulse", "Finds the {site} pulse", "reworded", "words"),
        ("Before the touch", "While touching", "reworded", "expects"),
        ("technique: ask", "technique: state", "reworded", "technique"),
        ("Common practice, no source", "A handbook", "reworded", "source"),
        ("[clean my hands, hand rub]", "[rub]", "reworded", "may be heard as"),
        ("sites: [radial,", "sites: [Radial,", "reworded", "site"),
        ("points: 2", "points: 3", "reweighted", "points"),
        ("        points: 1\n        expects: Finger",
         "        points_shared: 4\n        expects: Finger", "reweighted", "points"),
        ("critical: flag", "critical: fail", "reweighted", "critical"),
        ("credit: {said: 1}", "credit: {said: 0.5}", "reweighted",
         "credit for said only"),
        ("may_excuse: true", "may_excuse: false", "reweighted", "may be excused"),
        ("explains some steps", "explains a few", "reweighted", "levels"),
        ("pass_percent: 75", "pass_percent: 80", "limits", "pass mark"),
        ("language: en", "language: de", "limits", "language"),
        ("[well below,", "[far below,", "limits", "global rating"),
        ("borderline: 2", "borderline: 3", "limits", "borderline word"),
        ("minimum_percent: 50", "minimum_percent: 40", "limits", "minimum"),
        ("title: Manner", "title: Manners", "limits", "title"),
        ("count: 3", "count: 2", "rules_changed", "count"),
        ("effect: {deduct: 5}", "effect: {cap: 5}", "rules_changed", "effect"),
        ("first: [pulses.palpate.radial.*]", "first: [pulses.rate]",
         "rules_changed", "first"),
        ("minutes: 3", "minutes: 4", "rules_changed", "minutes"),
    ],
)  # fmt: skip
def test_one_change_is_said_in_one_list_alone(old, new, where, what):
    comparison = changed((old, new))
    assert filled(comparison) == {where}
    (change,) = getattr(comparison, where)
    assert [difference.what for difference in change.differences] == [what]


def test_a_change_says_what_was_and_what_is():
    (change,) = changed(("points: 2", "points: 2.5")).reweighted
    assert change.differences == (("points", "2", "2.5"),)
    assert change.elements == ("opening.consent",)
    assert change.section == "Opening"


def test_a_grid_that_is_reworded_is_one_change_of_all_its_elements():
    (change,) = changed(("Feels the {site} pulse", "Finds the {site} pulse")).reworded
    assert change.name == "Finds the … pulse"
    assert len(change.elements) == 4


def test_a_site_that_comes_adds_its_elements_and_a_site_that_goes_removes_them():
    comparison = changed(("[radial, dorsalis pedis]", "[dorsalis pedis, brachial]"),
                         ("palpate.radial.*", "palpate.brachial.*"))  # fmt: skip
    (came,), (went,) = comparison.added, comparison.removed
    assert [e.key for e in came.elements] == [
        "pulses.palpate.brachial.left",
        "pulses.palpate.brachial.right",
    ]
    assert {e.site for e in went.elements} == {"radial"}
    assert came.is_grid


def test_what_moves_to_another_section_is_said_with_both():
    definition = with_parts(
        lambda opening, pulses, manner: ((*opening, *manner), pulses, ())
    )
    (change,) = compare(BEFORE, definition).moved
    assert change.differences[0] == ("section", "Manner", "Opening")


def test_the_fewest_elements_that_explain_another_order_have_moved():
    definition = with_parts(
        lambda opening, pulses, manner: (opening, pulses[::-1], manner)
    )
    (change,) = compare(BEFORE, definition).moved
    assert change.elements == ("pulses.rate",)
    assert change.differences == (("order", "7", "3"),)


def test_an_element_before_which_one_was_added_has_not_moved():
    comparison = changed(
        ("      - key: opening.hygiene", NEW + "      - key: opening.hygiene")
    )
    assert filled(comparison) == {"added"}


NEW = """\
      - key: opening.name
        text: Says who they are
        technique: state
        points: 1
"""


def test_rules_in_another_order_are_told():
    definition = replace(BEFORE, rules=(*BEFORE.rules[1:], BEFORE.rules[0]))
    comparison = compare(BEFORE, definition)
    assert filled(comparison) == {"rules_changed"}
    (change,) = comparison.rules_changed
    assert (change.key, change.differences) == ("enough-pulses", (("order", "1", "4"),))


def test_a_renamed_element_is_found_by_its_token():
    was = {"opening.hygiene": "hands"}
    after = read(TEXT.replace("opening.hygiene", "opening.hands"), "after")
    comparison = compare(BEFORE, after, was, {"opening.hands": "hands"})
    assert comparison.is_empty
    assert comparison.anew == ()


def test_an_element_with_another_token_means_something_else():
    comparison = compare(BEFORE, BEFORE, {}, {"opening.hygiene": "opening.hygiene@2"})
    (pair,) = comparison.anew
    assert pair.after.element.key == "opening.hygiene"
    assert len(comparison.same) == len(BEFORE.elements) - 1
    assert comparison.is_empty


def with_parts(arrange):
    """The pulse check with its sections' parts arranged anew; empty sections go."""
    parts = arrange(*(section.parts for section in BEFORE.sections))
    sections = zip(BEFORE.sections, parts, strict=True)
    return replace(
        BEFORE,
        sections=tuple(replace(section, parts=has) for section, has in sections if has),
    )


@settings(max_examples=15)
@given(definitions())
def test_nothing_differs_from_itself(definition):
    assert compare(definition, definition).is_empty


@settings(max_examples=15)
@given(definitions(), definitions())
def test_what_one_way_adds_the_other_way_removes(one, other):
    there, back = compare(one, other), compare(other, one)
    assert keys(there.added) == keys(back.removed)
    assert keys(there.removed) == keys(back.added)
    assert there.rules_added == back.rules_removed
    assert there.rules_removed == back.rules_added


def keys(groups):
    return [element.key for group in groups for element in group.elements]


@settings(max_examples=15)
@given(definitions(), definitions())
def test_rubrics_that_differ_never_compare_as_equal(one, other):
    assert compare(one, other).is_empty == (one == other)


@st.composite
def touched(draw):
    """A definition, and it again with one part of it made anew or in another order."""
    one = draw(definitions())
    at = draw(st.integers(0, len(one.sections) - 1))
    section = one.sections[at]
    part = draw(st.integers(0, len(section.parts) - 1))
    parts = list(section.parts)
    how = draw(st.sampled_from(["other", "order", "title", "minimum"]))
    if how == "other":
        parts[part] = draw(elements(parts[part].key))
    elif how == "order":
        parts = draw(st.permutations(parts))
    section = replace(section, parts=tuple(parts))
    if how == "title":
        section = replace(section, title=draw(lines()))
    if how == "minimum":
        section = replace(
            section, minimum_percent=draw(st.none() | st.just(Fraction(1)))
        )
    return one, replace(
        one, sections=(*one.sections[:at], section, *one.sections[at + 1 :])
    )


@settings(max_examples=15)
@given(touched())
def test_every_difference_of_two_definitions_appears_in_some_list(pair):
    one, other = pair
    comparison = compare(one, other)
    assert comparison.is_empty == (one == other)
    old = {element.key: element for element in one.elements}
    told = {
        *keys(comparison.added),
        *(
            key
            for change in (
                *comparison.reworded,
                *comparison.reweighted,
                *comparison.moved,
            )
            for key in change.elements
        ),
    }
    assert {e.key for e in other.elements if old.get(e.key) != e} <= told


def test_a_section_with_another_key_moves_no_element_within_the_order():
    found = changed(("  - key: opening\n", "  - key: first\n"))
    (moved,) = found.moved
    assert [difference.what for difference in moved.differences] == ["section"]
    assert not found.is_empty


def test_elements_that_leave_their_grid_are_said_to_have_moved():
    definition = with_parts(
        lambda opening, pulses, manner: (
            opening,
            tuple(e for part in pulses for e in getattr(part, "elements", (part,))),
            manner,
        )
    )
    (change,) = compare(BEFORE, definition).moved
    assert [difference.what for difference in change.differences] == ["grid"]
    assert len(change.elements) == 4
