import pytest

from rubric.definition import Draft
from rubric.definition.edit import LARGEST_DRAFT, MOST_REMEMBERED
from rubric.definition.sent import Unreadable
from tests.rubric.drafts import change, fields, made, part, pulse_check, statuses

NEW = {"key": "opening.name", "text": "Says who they are", "points": 1}


def test_a_field_is_set_and_says_when_and_by_whom():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, (result,) = made(draft, change("set", key, fields={"points": 3}))
    assert result["status"] == "kept"
    (node,) = result["nodes"]
    assert (node["version"], node["changed"], node["by"]) == (
        2,
        {"points": 2},
        "Marit Egede",
    )
    assert changed.version == 2
    assert changed.definition().elements[0].points == 3


def test_null_takes_a_key_away():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, _ = made(draft, change("set", key, fields={"critical": None}))
    assert "critical" not in changed.nodes[key].fields
    assert changed.definition().elements[0].critical is None


def test_setting_what_is_there_changes_nothing():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, results = made(draft, change("set", key, fields={"points": "2"}))
    assert statuses(results) == ["kept"]
    assert changed.version == draft.version


def test_two_people_at_different_fields_both_stay():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    one, _ = made(draft, change("set", key, fields={"points": 3}), by="One")
    both, results = made(one, change("set", key, fields={"text": "Asks"}), by="Two")
    assert statuses(results) == ["kept"]
    assert (fields(both, "opening.consent")["points"]) == "3"
    assert (fields(both, "opening.consent")["text"]) == "Asks"


def test_two_people_at_one_field_clash_and_the_second_is_shown_the_first():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    one, _ = made(draft, change("set", key, fields={"points": 3}), by="One")
    mine = change("set", key, fields={"points": 4})
    both, (result,) = made(one, mine, by="Two")
    assert both == one
    assert result["status"] == "clash"
    assert result["node"]["fields"]["points"] == 3
    assert result["node"]["by"] == "One"


def test_the_same_from_both_is_no_clash():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    one, _ = made(draft, change("set", key, fields={"points": 3}))
    _, results = made(one, change("set", key, fields={"points": "3"}))
    assert statuses(results) == ["kept"]


def test_ones_own_changes_of_one_batch_do_not_clash():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    changed, results = made(
        draft,
        change("set", key, fields={"points": 3}),
        change("set", key, fields={"points": 4}),
        change("remove", key),
    )
    assert statuses(results) == ["kept"] * 3
    assert key not in changed.nodes


def test_a_change_that_comes_twice_is_made_once():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    batch = [
        change("set", key, fields={"points": 3}),
        change("set", key, fields={"points": 4}),
        change("add", "n1", kind="element", after=None, fields=NEW, **{"in": "s1"}),
        change("remove", "n1", base=1),
        change("move", "s3", after=None, **{"in": "sections"}),
    ]
    once, first = made(draft, *batch)
    twice, second = made(once, *batch)
    assert twice == once
    assert statuses(first) == statuses(second) == ["kept"] * 5


def test_the_last_changes_are_remembered_and_no_more():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    for n in range(3):
        sent = [
            change("set", key, base=draft.version, fields={"points": n * 500 + m})
            for m in range(500)
        ]
        draft, _ = made(draft, *sent)
    assert len(draft.kept) == MOST_REMEMBERED
    assert draft.kept[-1] == sent[-1]["id"]


@pytest.mark.parametrize(
    ("after", "order"),
    [(None, ["n1", "p1"]), ("p1", ["p1", "n1"]), ("gone", ["p1", "n1"])],
)
def test_an_element_is_added_where_it_was_put(after, order):
    draft = pulse_check()
    section = part(draft, "opening")
    draft, _ = made(
        draft,
        *(
            change("remove", other)
            for other in draft.order[section]
            if other != part(draft, "opening.consent")
        ),
    )
    first = part(draft, "opening.consent")
    order = [first if name == "p1" else name for name in order]
    after = first if after == "p1" else after
    changed, results = made(
        draft,
        change("add", "n1", kind="element", after=after, fields=NEW, **{"in": section}),
    )
    assert statuses(results) == ["kept"]
    assert list(changed.order[section]) == order


def test_what_was_taken_away_comes_back_with_its_parts():
    draft = pulse_check()
    section = part(draft, "pulses")
    wire = next(s for s in draft.wire()["sections"] if s["id"] == section)
    at = draft.order["sections"].index(section)
    gone, _ = made(draft, change("remove", section))
    assert section not in gone.nodes
    back, results = made(
        gone,
        change(
            "add",
            section,
            kind="section",
            after=draft.order["sections"][at - 1],
            fields=wire["fields"],
            parts=wire["parts"],
            **{"in": "sections"},
        ),
    )
    assert statuses(results) == ["kept"]
    assert back.file() == draft.file()


def test_an_element_moves_to_another_section():
    draft = pulse_check()
    key, into = part(draft, "opening.consent"), part(draft, "manner")
    changed, _ = made(draft, change("move", key, after=None, **{"in": into}))
    assert changed.order[into][0] == key
    assert sum(key in ids for ids in changed.order.values()) == 1


def test_a_move_to_where_it_stands_changes_nothing():
    draft = pulse_check()
    first, second = draft.order["sections"][:2]
    for at in ({"after": first}, {"after": second}):
        changed, _ = made(draft, change("move", second, **at, **{"in": "sections"}))
        assert changed.version == draft.version


def test_what_another_changed_is_not_taken_away_unseen():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    one, _ = made(draft, change("set", key, fields={"points": 3}), by="One")
    both, (result,) = made(one, change("remove", key), by="Two")
    assert both == one
    assert result["status"] == "clash"
    assert result["node"]["fields"]["points"] == 3


@pytest.mark.parametrize("act", ["set", "add", "move"])
def test_a_section_is_not_taken_away_with_what_another_did_in_it(act):
    draft = pulse_check()
    section, key = part(draft, "opening"), part(draft, "opening.consent")
    other = {
        "set": change("set", key, fields={"points": 3}),
        "add": change(
            "add", "n1", kind="element", after=None, fields=NEW, **{"in": section}
        ),
        "move": change(
            "move", part(draft, "manner.explains"), after=None, **{"in": section}
        ),
    }[act]
    one, _ = made(draft, other, by="One")
    both, results = made(one, change("remove", section), by="Two")
    assert statuses(results) == ["clash"]
    assert both == one


def test_work_on_what_another_took_away_is_answered_so():
    draft = pulse_check()
    key = part(draft, "opening.consent")
    gone, _ = made(draft, change("remove", key))
    _, results = made(
        gone,
        change("set", key, fields={"points": 3}),
        change("move", key, after=None, **{"in": "s1"}),
        change("remove", key),
    )
    assert statuses(results) == ["clash", "clash", "kept"]
    assert results[0]["node"] is None


def test_a_file_in_the_drafts_place_meets_open_edits_with_a_clash():
    draft = pulse_check()
    draft, _ = made(draft, change("set", "sheet", fields={"pass_percent": 60}))
    new = Draft.of(pulse_check().definition(), instead_of=draft)
    assert new.version > draft.version
    assert not (set(new.nodes) & set(draft.nodes)) - {"sheet"}
    late = [
        change("set", part(draft, "opening.consent"), base=2, fields={"points": 9}),
        change("set", "sheet", base=2, fields={"pass_percent": 61}),
        change("set", "sheet", base=2, fields={"global_rating": None}),
        change("add", "n1", kind="element", after=None, fields=NEW, **{"in": "s1"}),
    ]
    after, results = made(new, *late)
    assert statuses(results) == ["clash", "clash", "clash", "refused"]
    assert after == new


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"act": "burn"}, "act must be one of"),
        ({"act": 7}, "act must be a text"),
        ({"act": None}, "act must be a text"),
        ({"node": None}, "node must be a text"),
        ({"node": 5}, "node must be a text"),
        ({"node": ["p1"]}, "node must be a text"),
        ({"node": "x" * 41}, "1 to 40 letters"),
        ({"node": "sections"}, "1 to 40 letters"),
        ({"node": "a/b"}, "1 to 40 letters"),
        ({"base": None}, "base must be a version"),
        ({"base": "1"}, "base must be a version"),
        ({"base": -1}, "base must be a version"),
        ({"base": 1.5}, "base must be a version"),
        ({"base": True}, "base must be a version"),
        ({"base": 10**30}, "base must be a version"),
        ({"base": 2}, "load the page anew"),
        ({"fields": []}, "fields must be an object"),
        ({"fields": "points"}, "fields must be an object"),
        ({"fields": None}, "fields must be an object"),
        ({"fields": {"sites": ["a"]}}, "the fields of this kind"),
        ({"fields": {"": 1}}, "the fields of this kind"),
        ({"fields": {"text": "x" * 20_001}}, "longer than 20000"),
        ({"fields": {"say": [[[[["deep"]]]]]}}, "too deep"),
        ({"act": "remove", "node": "sheet"}, "keeps its title"),
        ({"act": "move", "node": "sheet", "in": "sections"}, "one place"),
        ({"act": "move", "in": "sections"}, "no longer in the rubric"),
        ({"act": "move", "in": "p1"}, "no longer in the rubric"),
        ({"act": "move", "in": 3}, "in must be a text"),
        ({"act": "move", "node": "s1", "in": "rules"}, "in must be sections"),
        ({"act": "move", "node": "r1", "in": "s1"}, "in must be rules"),
        ({"act": "add", "node": "n", "kind": "sheet", "in": "s1"}, "kind must be"),
        ({"act": "add", "node": "n", "kind": ["grid"], "in": "s1"}, "kind must be"),
        ({"act": "add", "node": "n", "kind": "grid", "in": "no"}, "no longer"),
        ({"act": "add", "node": "n", "kind": "grid", "in": "s1", "parts": [1]}, "parts"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "parts": 1}, "parts"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "parts": [{"kind": "rule"}]}, "element or grid"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "parts": [{"kind": ["grid"]}]}, "element or grid"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "parts": [{"kind": "grid", "id": "p1"}]}, "is in use"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "parts": [{"kind": "grid", "id": "n"}]}, "is in use"),
        ({"act": "add", "node": "n", "kind": "section", "in": "sections", "fields": {}, "parts": [{"kind": "grid", "id": "m", "fields": 3}]}, "fields must be"),
    ],
)  # fmt: skip
def test_a_change_that_cannot_be_made_is_refused_with_words_and_harms_no_other(
    wrong, words
):
    draft = pulse_check()
    good = change("set", "sheet", fields={"pass_percent": 60})
    bad = change("set", "p1", fields={"points": 3}) | wrong
    changed, results = made(draft, bad, good)
    assert statuses(results) == ["refused", "kept"]
    assert words in results[0]["why"]
    assert changed.version == draft.version + 1


@pytest.mark.parametrize(
    "ident", [None, 7, "", "short", "x" * 65, "a b" * 9, ["x" * 20]]
)
@pytest.mark.parametrize("wrap", [lambda c: c, lambda c: [c], lambda c: None])
def test_a_change_without_an_id_stops_all(ident, wrap):
    bad = wrap(change("set", "p1", fields={"points": 3}) | {"id": ident})
    with pytest.raises(Unreadable, match="16 to 64"):
        made(pulse_check(), change("set", "p1", fields={"points": 3}), bad)


def test_a_rubric_does_not_grow_without_end():
    draft = pulse_check()
    long = {"text": "x" * 19_000}
    sent = [
        change("add", f"n{n}", kind="element", after=None, fields=long, **{"in": "s1"})
        for n in range(30)
    ]
    changed, results = made(draft, *sent)
    assert set(statuses(results)) == {"kept", "refused"}
    assert len(changed.file()) < LARGEST_DRAFT * 1.1
    _, results = made(
        changed,
        change("remove", "n0", base=changed.version),
        change("remove", "n1", base=changed.version),
        change("set", "n2", base=changed.version, fields={"expects": "x" * 19_000}),
    )
    assert statuses(results) == ["kept"] * 3


def test_there_are_no_more_rules_than_a_file_may_have():
    sent = [
        change("add", f"n{n}", kind="rule", after=None, **{"in": "rules"})
        for n in range(200)
    ]
    _, results = made(pulse_check(), *sent)
    assert statuses(results).count("refused") == len(pulse_check().order["rules"])


def test_a_title_that_another_rubric_has_is_refused():
    draft = pulse_check()
    changed, results = made(
        draft,
        change("set", "sheet", fields={"title": " Knee "}),
        change("set", "sheet", fields={"title": "Knees"}),
        titles_taken={"Knee"},
    )
    assert statuses(results) == ["refused", "kept"]
    assert changed.title == "Knees"


def test_a_part_that_is_there_is_not_added_again():
    draft, _ = made(
        pulse_check(),
        change("add", "new-1", kind="rule", after=None, **{"in": "rules"}, fields={}),
    )
    again, (result,) = made(
        draft,
        change("add", "new-1", kind="rule", after=None, **{"in": "rules"}, fields={}),
    )
    assert result["status"] == "kept"
    assert again.order == draft.order
