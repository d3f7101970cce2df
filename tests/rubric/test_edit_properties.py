"""What holds for every draft and every change, with random drafts and changes."""

from hypothesis import given, settings
from hypothesis import strategies as st

from rubric.definition import Draft, select
from rubric.definition.draft import FIELDS
from tests.rubric.definitions import definitions, lines, words
from tests.rubric.drafts import change, made, statuses

drafts = definitions().map(Draft.of)
values = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 5) | lines(8) | st.just("1.50"),
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(
            st.sampled_from(["partly", "cap", "label"]), inner, max_size=2
        )
    ),
    max_leaves=4,
)


@st.composite
def sets(draw, draft):
    """A change of one or two fields of a node, none of which renames anything."""
    node = draw(st.sampled_from(sorted(draft.nodes)))
    names = [
        n
        for n in FIELDS[draft.nodes[node].kind]
        if n not in ("key", "sites", "sides", "instruments")
    ]
    fields = draw(
        st.dictionaries(st.sampled_from(names), values, min_size=1, max_size=2)
    )
    return change("set", node, base=draft.version, fields=fields)


@st.composite
def orders(draw, draft):
    """A move or a removal."""
    node = draw(st.sampled_from(sorted(set(draft.nodes) - {"sheet"})))
    if draw(st.booleans()):
        return change("remove", node, base=draft.version)
    into = draw(st.sampled_from(list(draft.order)))
    after = draw(st.sampled_from([None, *draft.nodes]))
    return change("move", node, after=after, **{"in": into})


def edits(draft):
    return st.lists(sets(draft) | orders(draft), max_size=6)


drafts_and_edits = drafts.flatmap(lambda d: st.tuples(st.just(d), edits(d)))
few = settings(max_examples=15)


@few
@given(drafts_and_edits)
def test_whatever_is_done_the_draft_is_kept_whole_and_its_file_is_written(both):
    draft, changes = both
    changed, results = made(draft, *changes)
    assert len(results) == len(changes)
    assert Draft.load(changed.dump()) == changed
    assert Draft.load(changed.dump()).file() == changed.file()
    held = [ident for ids in changed.order.values() for ident in ids]
    assert sorted([*held, "sheet"]) == sorted(changed.nodes)


@few
@given(drafts_and_edits)
def test_the_same_batch_sent_twice_equals_once(both):
    draft, changes = both
    once, _ = made(draft, *changes)
    kept = [
        c for c, r in zip(changes, made(draft, *changes)[1], strict=True)
        if r["status"] == "kept"
    ]  # fmt: skip
    assert made(once, *kept)[0] == once


@few
@given(drafts.flatmap(lambda d: st.tuples(st.just(d), sets(d))))
def test_a_set_and_its_inverse_leave_the_file_as_it_was(both):
    draft, there = both
    old = {n: draft.nodes[there["node"]].fields.get(n) for n in there["fields"]}
    changed, _ = made(draft, there)
    back = change("set", there["node"], base=changed.version, fields=old)
    restored, results = made(changed, back)
    assert statuses(results) == ["kept"]
    assert restored.file() == draft.file()


@few
@given(drafts.flatmap(lambda d: st.tuples(st.just(d), orders(d))))
def test_a_move_or_removal_and_its_inverse_leave_the_file_as_it_was(both):
    draft, there = both
    node = draft.nodes[there["node"]]
    into = next(k for k, ids in draft.order.items() if node.id in ids)
    at = draft.order[into].index(node.id)
    place = {"in": into, "after": draft.order[into][at - 1] if at else None}
    changed, _ = made(draft, there)
    back = change("move", node.id, **place)
    if there["act"] == "remove":
        wire = [draft.nodes[p].wire() for p in draft.order.get(node.id, ())]
        back = change("add", node.id, kind=node.kind, fields=node.fields, **place)
        back |= {"parts": wire} if node.kind == "section" else {}
    restored, _ = made(changed, back)
    assert restored.file() == draft.file()


@few
@given(drafts.flatmap(lambda d: st.tuples(st.just(d), sets(d), sets(d))))
def test_two_peoples_changes_to_different_fields_both_stay_in_either_order(three):
    draft, one, other = three
    if one["node"] == other["node"]:
        other["fields"] = {
            n: v for n, v in other["fields"].items() if n not in one["fields"]
        }
    ways = []
    for first, second in ((one, other), (other, one)):
        half, _ = made(draft, first, by="One")
        whole, results = made(half, second, by="Two")
        assert statuses(results) == ["kept"]
        ways.append(whole.file())
    assert ways[0] == ways[1]


@few
@given(drafts.flatmap(lambda d: st.tuples(st.just(d), sets(d), values)))
def test_a_field_that_another_changed_since_is_never_overwritten(three):
    draft, one, value = three
    other = change("set", one["node"], fields=dict.fromkeys(one["fields"], value))
    half, _ = made(draft, one, by="One")
    whole, (result,) = made(half, other, by="Two")
    if result["status"] == "clash":
        assert whole == half
    for name in half.nodes[one["node"]].changed:
        mine = draft.nodes[one["node"]].fields.get(name)
        theirs = half.nodes[one["node"]].fields.get(name)
        assert whole.nodes[one["node"]].fields.get(name) == theirs != mine


@st.composite
def renames(draw):
    draft = draw(drafts)
    named = list(draft.parts())
    node = draw(st.sampled_from(named))
    stems = [n.fields["key"].rpartition(".")[0] for n in named]
    stem = draw(st.sampled_from([*stems, ""]))
    word = draw(words)
    return draft, node, f"{stem}.{word}" if stem else word


@settings(max_examples=20)
@given(renames())
def test_after_a_rename_every_rule_holds_the_same_elements(three):
    draft, node, key = three
    before = draft.definition()
    changed, _ = made(draft, change("set", node.id, fields={"key": key}))
    if changed.nodes[node.id].named:
        return  # the key is another's: rules wait
    after = changed.definition()
    new = {
        one.key: other.key
        for one, other in zip(before.elements, after.elements, strict=True)
    }
    for one, other in zip(before.rules, after.rules, strict=True):
        for side in ("of", "first", "then"):
            held = select(before, getattr(one, side, ()))
            assert [new[k] for k in held] == list(
                select(after, getattr(other, side, ()))
            )
