"""What an author is asked about meaning, and the tokens that follow from the answers."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubric.definition import compare, read
from rubric.definition.meaning import OF_ALL, carried, doubts, lineage
from rubric.definition.newcomers import newcomers
from tests.factories import PULSE_CHECK
from tests.rubric.definitions import definitions

TEXT = PULSE_CHECK.read_text(encoding="utf-8")
BEFORE = read(TEXT, "before")


def since(before, after, was):
    return compare(before, after, was, carried(was, after))


def after(*pairs):
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return read(text, "after")


def asked(definition):
    return doubts(since(BEFORE, definition, {}), BEFORE, definition)


@pytest.mark.parametrize(
    ("old", "new", "proposes_same"),
    [
        ("Cleans hands in view", "Rubs hands", True),
        ("Before the touch", "While touching", True),
        ("credit: {said: 1}", "credit: {said: 0.5}", True),
        ("credit: {said: 1}", "credit: {said: 0}", False),
        ("credit: {said: 1}", "credit: {said: 1, partly: 0}", False),
        ("technique: ask", "technique: state", False),
        ("explains some steps", "explains a few", False),
        ("label: explains some steps, credit: 0.5",
         "label: explains some steps, credit: 0", False),
    ],
)  # fmt: skip
def test_words_are_proposed_as_the_same_and_acts_must_be_chosen(
    old, new, proposes_same
):
    (doubt,) = asked(after((old, new)))
    assert doubt.proposes_same is proposes_same


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("points: 2", "points: 3"),
        ("critical: flag", "critical: fail"),
        ("Common practice, no source", "Somebody's handbook"),
        ("[clean my hands, hand rub]", "[rub]"),
        ("may_excuse: true", "may_excuse: false"),
        ("pass_percent: 75", "pass_percent: 80"),
    ],
)
def test_what_weighs_and_what_is_cited_is_not_asked_about(old, new):
    assert asked(after((old, new))) == ()


def test_a_grid_is_asked_about_once():
    (doubt,) = asked(after(("Feels the {site} pulse", "Finds the {site} pulse")))
    assert (doubt.name, len(doubt.elements)) == ("Finds the … pulse", 4)


def test_a_grid_written_otherwise_that_reads_the_same_is_not_asked_about():
    left = TEXT.replace("[left, right]", "[left]").replace("count: 3", "count: 2")
    one = read(left, "one")
    other = read(left.replace("pulse, {side}", "pulse, left"), "other")
    comparison = since(one, other, {})
    assert comparison.reworded
    assert doubts(comparison, one, other) == ()


def test_credit_of_the_whole_rubric_is_asked_about_once():
    (doubt,) = asked(
        after(("pass_percent: 75", "pass_percent: 75\ncredit: {said: 0.5}"))
    )
    assert (doubt.key, doubt.proposes_same) == (OF_ALL, False)
    assert "opening.consent" not in doubt.elements  # has its own for said only
    assert "manner.explains" not in doubt.elements  # has levels
    assert len(doubt.elements) == 6


def offered(definition, earlier=None):
    return newcomers(since(BEFORE, definition, {}), {}, earlier or {})


def test_a_renamed_key_is_proposed_as_the_one_that_reads_just_so():
    (newcomer,) = offered(after(("opening.hygiene", "opening.hands")))
    assert newcomer.proposal == "opening.hygiene"


def test_an_added_element_with_other_words_is_proposed_as_new():
    (newcomer,) = offered(
        after(
            ("opening.hygiene", "opening.hands"), ("Cleans hands in", "Rubs hands in")
        )
    )
    assert newcomer.proposal == ""
    assert [c.value for c in newcomer.candidates] == ["opening.hygiene"]


def test_a_site_with_another_name_answers_cell_by_cell():
    definition = after(("sites: [radial,", "sites: [wrist,"),
                       ("palpate.radial.*", "palpate.wrist.*"))  # fmt: skip
    (newcomer,) = offered(definition)
    (candidate,) = newcomer.candidates
    assert candidate.tokens == {
        "pulses.palpate.wrist.left": "pulses.palpate.radial.left",
        "pulses.palpate.wrist.right": "pulses.palpate.radial.right",
    }


def test_a_key_that_comes_back_may_be_what_it_was():
    element = BEFORE.elements[1]
    definition = after(("opening.hygiene", "opening.hands"))
    came = newcomers(since(definition, BEFORE, {}), {}, {element.key: (1, element)})
    assert (came[0].candidates[0].edition, came[0].proposal) == (1, element.key)


def test_nothing_is_asked_where_nothing_is_gone():
    assert newcomers(compare(BEFORE, BEFORE), {}, {}) == ()


def own(definition):
    return {key: key for key in definition.index}


def test_an_element_that_means_something_else_gets_a_token_of_its_own():
    found = lineage(BEFORE, 2, own(BEFORE), BEFORE.index, anew=["opening.hygiene"])
    assert found == {"opening.hygiene": "opening.hygiene@2"}


def test_tokens_go_on_from_edition_to_edition():
    was = own(BEFORE) | {"opening.hygiene": "opening.hygiene@2"}
    assert lineage(BEFORE, 3, was, was.values()) == {
        "opening.hygiene": "opening.hygiene@2"
    }


def test_a_key_that_comes_back_is_new_unless_somebody_says_otherwise():
    was = own(BEFORE)
    del was["opening.hygiene"]
    found = lineage(BEFORE, 3, was, BEFORE.index)
    assert found == {"opening.hygiene": "opening.hygiene@3"}
    same_as = {"opening.hygiene": "opening.hygiene"}
    assert lineage(BEFORE, 3, was, BEFORE.index, same_as=same_as) == {}


def test_two_elements_cannot_be_the_same_as_one():
    was = own(BEFORE)
    del was["opening.hygiene"], was["opening.consent"]
    same_as = dict.fromkeys(["opening.hygiene", "opening.consent"], "opening.hygiene")
    with pytest.raises(ValueError, match="cannot both be the same"):
        lineage(BEFORE, 3, was, BEFORE.index, same_as=same_as)


@settings(max_examples=15)
@given(definitions(), definitions(), st.randoms())
def test_no_two_elements_ever_get_one_token(one, other, random):
    was = {key: lineage(one, 1, {}, []).get(key, key) for key in one.index}
    anew = [key for key in other.index if random.random() < 0.5]
    found = lineage(other, 2, was, was.values(), anew)
    tokens = [found.get(key, key) for key in other.index]
    assert len(set(tokens)) == len(tokens)
    kept = [key for key in other.index if key in was and key not in anew]
    assert all(found.get(key, key) == was[key] for key in kept)
    fresh = [t for k, t in zip(other.index, tokens, strict=True) if k not in kept]
    assert not set(fresh) & set(was.values())


def test_a_grid_over_other_axes_answers_to_no_cell_of_the_old():
    sides = after(
        ("sides: [left, right]", "instruments: [diaphragm, bell]"),
        ("{side}", "{instrument}"),
    )
    assert since(BEFORE, sides, {}).added
    assert offered(sides) == ()
