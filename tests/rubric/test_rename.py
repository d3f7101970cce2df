import json

import pytest

from rubric.definition import Draft, read
from tests.rubric.drafts import change, fields, made, part, statuses

RULE = {"kind": "at_least", "count": 1, "effect": "flag", "text": "some"}


def draft_of(keys, *rules, grid=None):
    """One section of elements with the keys, and rules over the selectors."""
    parts = [{"key": k, "text": k, "technique": "ask", "points": 1} for k in keys]
    if grid:
        parts.append({"text": "{site}", "technique": "ask", "points": 1} | grid)
    file = {
        "format": "bellside-rubric/1",
        "title": "Test",
        "pass_percent": 50,
        "sections": [{"key": "all", "title": "All", "parts": parts}],
        "rules": [RULE | {"key": f"rule-{n}", "of": of} for n, of in enumerate(rules)],
    }
    return Draft.of(read(json.dumps(file), "test"))


def of(draft, n=0):
    return fields(draft, f"rule-{n}")["of"]


def renamed(draft, old, new):
    key = part(draft, old)
    return made(draft, change("set", key, base=draft.version, fields={"key": new}))


@pytest.mark.parametrize(
    ("keys", "rule", "old", "new", "after"),
    [
        (["a", "b"], ["a"], "a", "c", ["c"]),
        (["a", "b"], ["b", "a"], "a", "c.d", ["b", "c.d"]),
        (["a", "b"], ["b"], "a", "c", ["b"]),
        (["x.a", "x.b"], ["x.*"], "x.a", "x.c", ["x.*"]),
        (["x.a"], ["x.*"], "x.a", "y.a", ["y.*"]),
        (["x.y.a", "x.z.b"], ["x.y.*"], "x.y.a", "x.w.a", ["x.w.*"]),
        (["x.a", "x.b"], ["x.*"], "x.a", "y.a", ["x.*", "y.a"]),
        (["x.a", "y.b"], ["x.*", "y.b"], "y.b", "x.b", ["x.*"]),
        (["x.a", "b"], ["x.*"], "b", "x.b", ["x.a"]),
        (["a", "a.b"], ["a.b"], "a", "c", ["a.b"]),
        (["a", "a.b"], ["a.*"], "a", "c", ["a.*"]),
    ],
)
def test_rules_name_the_same_elements_by_their_new_keys(keys, rule, old, new, after):
    changed, (result,) = renamed(draft_of(keys, rule), old, new)
    assert of(changed) == after
    touched = {node["id"] for node in result["nodes"]}
    assert ("r1" in touched) == (after != rule)


GRID = {"key": "g", "sites": ["radial", "foot"], "sides": ["left", "right"]}


@pytest.mark.parametrize(
    ("set_", "after"),
    [
        ({"key": "h.i"}, [["h.i.*"], ["h.i.radial.*"], ["h.i.foot.left"], ["e"]]),
        ({"sites": ["arm", "foot"]}, [["g.*"], ["g.arm.*"], ["g.foot.left"], ["e"]]),
        (
            {"sides": ["near", "right"]},
            [["g.*"], ["g.radial.*"], ["g.foot.near"], ["e"]],
        ),
        (
            {"sites": ["foot", "radial"]},
            [["g.*"], ["g.radial.*"], ["g.foot.left"], ["e"]],
        ),
        (
            {"key": "h", "sites": ["foot", "radial", "arm"]},
            [["h.*"], ["h.radial.*"], ["h.foot.left"], ["e"]],
        ),
    ],
)
def test_a_grids_cells_are_followed_through_its_key_and_one_new_name(set_, after):
    rules = [["g.*"], ["g.radial.*"], ["g.foot.left"], ["e"]]
    draft = draft_of(["e"], *rules, grid=GRID)
    changed, _ = made(draft, change("set", part(draft, "g"), fields=set_))
    assert [of(changed, n) for n in range(4)] == after


def test_a_rename_and_its_undoing_leave_the_file_as_it_was():
    draft = draft_of(["x.a", "x.b"], ["x.*"], ["x.a", "x.b"], ["x.b"])
    there, _ = renamed(draft, "x.a", "y.a")
    assert there.file() != draft.file()
    back, _ = renamed(there, "y.a", "x.a")
    assert back.file() == draft.file()


@pytest.mark.parametrize("between", ["", "Bad key", "b", "a.", None, 7])
def test_rules_wait_for_a_key_that_is_one(between):
    """While it is typed a key may be none, or another part's."""
    draft = draft_of(["a", "b"], ["a"], ["b"])
    key = part(draft, "a")
    draft, _ = made(draft, change("set", key, fields={"key": between}))
    assert [of(draft), of(draft, 1)] == [["a"], ["b"]]
    kept = Draft.load(draft.dump())
    done, results = made(
        kept, change("set", key, base=kept.version, fields={"key": "c"})
    )
    assert statuses(results) == ["kept"]
    assert [of(done), of(done, 1)] == [["c"], ["b"]]


def test_a_copy_that_gets_a_key_of_its_own_takes_no_rule_along():
    draft = draft_of(["a"], ["a"])
    copy = {"key": "a", "text": "a", "technique": "ask", "points": 1}
    draft, _ = made(
        draft,
        change("add", "n1", kind="element", after=None, fields=copy, **{"in": "s1"}),
        change("set", "n1", fields={"key": "b"}),
    )
    assert of(draft) == ["a"]


def test_a_sections_key_is_no_matter_of_rules():
    draft = draft_of(["all.a"], ["all.*"])
    changed, _ = renamed(draft, "all", "whole")
    assert of(changed) == ["all.*"]


def test_faulty_selectors_stay_as_they_are():
    """Only what is named twice is named once."""
    odd = [7, {"a": 1}, ["a"], "a", "no-such", "a", "A b"]
    draft = draft_of(["a"], ["a"])
    draft, _ = made(draft, change("set", part(draft, "rule-0"), fields={"of": odd}))
    changed, _ = renamed(draft, "a", "c")
    assert of(changed) == ["7", {"a": "1"}, ["a"], "c", "no-such", "A b"]


def test_another_persons_work_on_a_rule_clashes_with_its_new_selectors():
    draft = draft_of(["a", "b"], ["a"])
    rule = part(draft, "rule-0")
    one, _ = renamed(draft, "a", "c")
    _, results = made(one, change("set", rule, fields={"of": ["a", "b"]}))
    assert statuses(results) == ["clash"]


def test_a_selector_that_names_a_grid_itself_follows_its_key():
    draft = draft_of(["a"], ["a"], grid=GRID)
    rule = change(
        "set", part(draft, "rule-0"), base=draft.version, fields={"of": ["g"]}
    )
    draft, _ = made(draft, rule)
    draft, _ = renamed(draft, "g", "h")
    assert of(draft) == ["h"]


def test_a_beginning_that_holds_nothing_stays_as_it_is():
    draft = draft_of(["a"], ["a"])
    rule = change(
        "set", part(draft, "rule-0"), base=draft.version, fields={"of": ["q.*"]}
    )
    draft, _ = made(draft, rule)
    draft, _ = renamed(draft, "a", "b")
    assert of(draft) == ["q.*"]
