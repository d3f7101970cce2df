import json
from pathlib import Path

import pytest
from hypothesis import given, settings

from rubric.definition import Draft, read, write_json
from rubric.definition.draft import FIELDS, KINDS
from rubric.definition.exact import Number, loads
from rubric.faults import Faults
from tests.rubric.definitions import definitions
from tests.rubric.drafts import change, made, part, pulse_check

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "rubric/definition/schema.json").read_text()
)


@settings(max_examples=20)
@given(definitions())
def test_a_draft_says_what_the_definition_said(definition):
    draft = Draft.of(definition)
    assert draft.definition() == definition
    assert write_json(draft.definition()) == write_json(definition)


@settings(max_examples=20)
@given(definitions())
def test_a_draft_kept_as_text_comes_back_whole(definition):
    draft = Draft.of(definition)
    draft, _ = made(draft, change("set", "sheet", fields={"title": "Other"}))
    assert Draft.load(draft.dump()) == draft


@settings(max_examples=20)
@given(definitions())
def test_a_draft_for_the_page_says_the_same_when_it_comes_back(definition):
    """Whatever floating point would round goes as text, and is made a number again."""
    draft = Draft.of(definition)
    sheet = loads(json.dumps(draft.wire()))["sheet"]["fields"]
    back, results = made(
        draft,
        change("set", "sheet", fields=dict.fromkeys(sheet)),
        change("set", "sheet", fields=draft.wire()["sheet"]["fields"]),
    )
    assert [r["status"] for r in results] == ["kept", "kept"]
    assert back.definition() == definition


def test_the_fields_are_those_of_the_published_schema():
    kinds = SCHEMA["$defs"]
    named = {
        "sheet": set(SCHEMA["properties"]) - {"format", "sections", "rules"},
        "section": set(kinds["section"]["properties"]) - {"elements", "grids", "parts"},
        "element": set(kinds["element"]["properties"]),
        "grid": set(kinds["grid"]["properties"]),
    }
    assert {kind: set(FIELDS[kind]) for kind in named} == named
    assert set(KINDS) == {*named, "rule"}


def test_a_number_keeps_every_digit():
    text = "0.12345678901234567890"
    draft = pulse_check()
    changed, _ = made(
        draft, change("set", part(draft, "opening"), fields={"minimum_percent": text})
    )
    assert f'"minimum_percent":{text}' in changed.file()
    node = next(n for n in changed.changed_after(1))
    assert node["fields"]["minimum_percent"] == text


@pytest.mark.parametrize(
    ("typed", "number"),
    [("2", "2"), (" .5", "0.5"), ("5.", "5"), ("007", "7"), ("-1.50", "-1.50")],
)
def test_what_was_typed_becomes_a_number(typed, number):
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, _ = made(draft, change("set", key, fields={"points": typed}))
    points = changed.nodes[key].fields["points"]
    assert (type(points), points) == (Number, number)


@pytest.mark.parametrize("typed", ["two", "", "1,5", "1e", "--1", ".", "1 2"])
def test_what_is_no_number_is_kept_as_typed_and_is_a_fault(typed):
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, results = made(draft, change("set", key, fields={"points": typed}))
    assert results[0]["nodes"][0]["fields"]["points"] == typed
    with pytest.raises(Faults, match="points"):
        changed.definition()


def test_numbers_within_groups_and_levels_are_made_numbers_too():
    draft = pulse_check()
    levels = [{"label": "1", "credit": "0"}, {"label": "2", "credit": "1"}]
    changed, _ = made(
        draft,
        change("set", part(draft, "manner.explains"), fields={"levels": levels}),
        change(
            "set", part(draft, "opening.consent"), fields={"critical": {"cap": "74"}}
        ),
        change("set", "sheet", fields={"credit": {"partly": "0.25"}, "title": "60"}),
    )
    told = changed.file()
    assert '{"label":"1","credit":0}' in told
    assert '"critical":{"cap":74}' in told
    assert '"credit":{"partly":0.25}' in told
    assert '"title":"60"' in told


def test_a_rule_that_changes_its_kind_gives_only_the_keys_of_the_new_one():
    draft = pulse_check()
    rule = part(draft, "enough-pulses")
    changed, _ = made(draft, change("set", rule, fields={"kind": "hazard"}))
    assert changed.definition().rules[0].kind == "hazard"
    back, _ = made(changed, change("set", rule, base=2, fields={"kind": "at_least"}))
    assert back.file() == draft.file()


def test_a_grid_without_names_is_still_a_grid():
    draft = pulse_check()
    changed, _ = made(
        draft,
        change(
            "set", part(draft, "pulses.palpate"), fields={"sites": None, "sides": None}
        ),
    )
    with pytest.raises(Faults, match="sites is a list of length 0"):
        changed.definition()


def test_a_new_rubric_lacks_only_elements():
    with pytest.raises(Faults) as raised:
        Draft.empty("Knee").definition()
    assert [f.what for f in raised.value.faults] == ["a section has no elements"]


@pytest.mark.parametrize(
    "text", ["null", "[]", "{}", '{"format": "bellside-rubric/1"}', "no JSON", "NaN"]
)
def test_what_is_no_draft_is_not_loaded(text):
    with pytest.raises(ValueError):  # noqa: PT011 (its words are JSON's or ours)
        Draft.load(text)


@pytest.mark.parametrize(
    "title", ["", " ", "a\nb", "x" * 201, "a\x00b", 7, None, ["a"]]
)
def test_a_title_that_no_file_takes_names_nothing(title):
    draft, _ = made(pulse_check(), change("set", "sheet", fields={"title": title}))
    assert draft.title == ""


def test_what_no_text_may_hold_is_kept_and_spoils_only_its_place():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    odd = "a\x85\u2028\ud800\ufeff\uffff\x00z"
    changed, _ = made(draft, change("set", key, fields={"text": odd}))
    text = changed.dump()
    assert text.encode("utf-8")
    assert "\x00" not in text
    assert Draft.load(text).nodes[key].fields["text"] == odd
    with pytest.raises(Faults) as raised:
        read(changed.file(), "draft")
    assert [f.key for f in raised.value.faults] == ["text"]
