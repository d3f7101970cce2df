import json
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry
from grading.models import Change, Marking, Phrase
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    released,
)
from tests.grading.desk import done, post, save, sent

CONSENT = "element:opening.consent"
COMMENT = "comment:7f3b9a52-8c1d-4f0a-9a44-0d1c2b3a4e5f"


@pytest.fixture
def marking(cohort, instructor, student):
    assignment = AssignmentFactory(cohort=cohort, markers=[instructor])
    submission = SubmissionFactory(assignment=assignment, student=student)
    return MarkingFactory(submission=submission, marker=instructor)


@pytest.fixture
def client(client_of, instructor):
    return client_of(instructor)


def test_a_mark_is_kept_with_its_moment_and_speed(client, marking):
    answer = save(client, marking, done(marking, "opening.consent", speed=1.5)).json()
    marking.refresh_from_db()
    assert marking.values("element")["opening.consent"] == {
        "state": "done",
        "at": 3.5,
        "speed": 1.5,
    }
    assert len(answer["acknowledged"]) == 1
    assert answer["version"] == 1


def test_the_same_change_sent_again_is_acknowledged_and_not_applied_again(
    client, marking
):
    change = done(marking, "opening.consent")
    first = save(client, marking, change).json()
    again = save(client, marking, change).json()
    assert again["acknowledged"] == first["acknowledged"] == [change["id"]]
    assert again["version"] == first["version"]
    assert Change.objects.count() == 1


def test_a_change_sent_again_after_a_newer_one_does_not_come_back(client, marking):
    older = done(marking, "opening.consent")
    save(client, marking, older)
    marking.refresh_from_db()
    save(client, marking, sent(marking, CONSENT, {"state": "missed", "at": 9}))
    save(client, marking, older)
    marking.refresh_from_db()
    assert marking.values("element")["opening.consent"]["state"] == "missed"


def test_a_change_twice_in_one_save_counts_once(client, marking):
    change = done(marking, "opening.consent")
    answer = save(client, marking, change, change).json()
    assert answer["acknowledged"] == [change["id"]] * 2
    assert Change.objects.count() == 1


def test_a_chain_sent_again_is_acknowledged_whole(client, marking):
    first = done(marking, "opening.consent")
    second = sent(marking, CONSENT, {"state": "said", "at": 4}, after=first["id"])
    save(client, marking, first, second)
    answer = save(client, marking, first, second).json()
    assert answer["acknowledged"] == [first["id"], second["id"]]
    assert answer["refused"] == []
    assert Change.objects.count() == 2


def test_changes_of_one_target_apply_in_their_order(client, marking):
    first = done(marking, "opening.consent")
    second = sent(marking, CONSENT, {"state": "said", "at": 4}, after=first["id"])
    third = sent(marking, CONSENT, None, after=second["id"])
    answer = save(client, marking, first, second, third).json()
    marking.refresh_from_db()
    assert len(answer["acknowledged"]) == 3
    assert marking.values("element") == {}
    assert list(Change.objects.values_list("value__state", flat=True)) == [
        "done",
        "said",
        None,
    ]


def test_a_write_that_did_not_know_the_newest_is_refused_with_both_told(
    client, client_of, lead, marking
):
    mine = sent(marking, CONSENT, {"state": "missed", "at": 8}, after=None)
    theirs = done(marking, "opening.consent")
    save(client_of(lead), marking, theirs, person=lead.pk)
    answer = save(client, marking, mine).json()
    (refusal,) = answer["refused"]
    assert refusal["why"] == "older"
    assert refusal["by"] == lead.name
    assert refusal["current"]["change"] == theirs["id"]
    assert refusal["current"]["value"]["state"] == "done"
    assert AuditEntry.objects.filter(verb=AuditEntry.Verb.REFUSED).exists()


def test_choosing_mine_writes_over_theirs_knowingly(client, client_of, lead, marking):
    save(client_of(lead), marking, done(marking, "opening.consent"), person=lead.pk)
    marking.refresh_from_db()
    mine = sent(marking, CONSENT, {"state": "missed", "at": 8})
    assert save(client, marking, mine).json()["refused"] == []


def test_a_refused_change_blocks_no_other(client, marking):
    stale = sent(marking, CONSENT, {"state": "done"}, after=done(marking, "x")["id"])
    fine = done(marking, "opening.hygiene")
    answer = save(client, marking, stale, fine).json()
    assert answer["acknowledged"] == [fine["id"]]
    assert [refusal["id"] for refusal in answer["refused"]] == [stale["id"]]


def test_the_answer_brings_what_others_wrote_since(client, client_of, lead, marking):
    save(client_of(lead), marking, done(marking, "opening.hygiene"), person=lead.pk)
    answer = save(client, marking, done(marking, "opening.consent")).json()
    assert set(answer["targets"]) == {"element:opening.hygiene", CONSENT}
    after = save(client, marking, version=answer["version"]).json()
    assert "targets" not in after


# Invalid changes: each is answered as such, and the one beside it is taken.
INVALID = [
    ({"target": "element:none"}, "The edition has no element 'none'."),
    ({"target": "element"}, "There is no target 'element'."),
    ({"target": "word:x"}, "There is no target 'word:x'."),
    ({"target": 7}, "target must be a text."),
    ({"id": "7"}, "id must be a UUID."),
    ({"id": None}, "id must be a UUID."),
    ({"after": "x"}, "after must be a UUID."),
    ({"value": []}, "value must be an object or null."),
    ({"value": {"state": "good"}}, "state must be one of done, partly, said, missed,"),
    ({"value": {"state": "level", "level": 1}}, "state must be one of done"),
    ({"value": {"state": "done", "level": 1}}, "Only the state level has a level."),
    ({"value": {"state": "done", "mood": 1}}, "A value of element has no 'mood'"),
    ({"value": {"state": "done", "at": -1}}, "at must be 0 to 86400, but is -1."),
    ({"value": {"state": "done", "at": "1"}}, "at must be 0 to 86400, but is '1'."),
    ({"value": {"state": "done", "at": True}}, "at must be 0 to 86400"),
    ({"value": {"state": "done", "at": 10**400}}, "at must be 0 to 86400"),
    ({"value": {"state": "done", "speed": 90}}, "speed must be 0.1 to 16"),
    (
        {"value": {"state": "done", "reason": "x"}},
        "Only the state excused has a reason.",
    ),
    ({"value": {"state": "excused"}}, "Excused needs a reason."),
    (
        {"value": {"state": "excused", "reason": "x" * 501}},
        "reason must be at most 500",
    ),
    (
        {"target": "element:manner.explains", "value": {"state": "level", "level": 4}},
        "level must be a whole number, 1 to 3, but is 4.",
    ),
    (
        {
            "target": "element:manner.explains",
            "value": {"state": "level", "level": True},
        },
        "level must be a whole number",
    ),
    (
        {"target": "element:manner.explains", "value": {"state": "done"}},
        "state must be one of level, unseen, excused, but is 'done'.",
    ),
    (
        {"target": "comment:one", "value": None},
        "A comment or sighting is named by a UUID",
    ),
    (
        {"target": COMMENT, "value": {"kind": "praise", "text": "x"}},
        "kind must be one of",
    ),
    (
        {"target": COMMENT, "value": {"kind": "improve", "text": " "}},
        "must say something",
    ),
    (
        {
            "target": COMMENT,
            "value": {"kind": "improve", "text": "x", "element": "none"},
        },
        "The edition has no element 'none'.",
    ),
    (
        {"target": "ruling:length", "value": {"result": "met"}},
        "no rule 'length' of kind",
    ),
    (
        {"target": "ruling:arms-first", "value": {"result": "yes"}},
        "result must be one of",
    ),
    (
        {"target": "rating", "value": {"value": 9}},
        "value must be a whole number, 1 to 4",
    ),
    ({"target": "length", "value": {"seconds": 0}}, "seconds must be more than 0."),
    (
        {"target": COMMENT.replace("comment", "sighting"), "value": {"rule": "length"}},
        "rule must be one of carried-on, but is 'length'.",
    ),
    ({"phrase": {"text": "x"}}, "Only a comment may come with a phrase."),
]


@pytest.mark.parametrize(("wrong", "words"), INVALID)
def test_an_invalid_change_is_told_and_blocks_no_other(client, marking, wrong, words):
    bad = done(marking, "opening.consent") | wrong
    good = done(marking, "opening.hygiene")
    response = save(client, marking, bad, good)
    answer = response.json()
    assert response.status_code == 200
    (refusal,) = answer["refused"]
    assert refusal["why"] == "invalid"
    assert words in refusal["text"]
    assert answer["acknowledged"] == [good["id"]]


@pytest.mark.parametrize("change", [None, 7, "x", [], {}])
def test_what_is_no_change_at_all_is_told_too(client, marking, change):
    answer = save(client, marking, change, done(marking, "opening.hygiene")).json()
    assert len(answer["refused"]) == len(answer["acknowledged"]) == 1


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "null",
        '{"person": 1}',
        '{"person": true, "version": 0}',
        '{"person": 1, "version": 0, "changes": {}}',
        '{"person": 1, "version": 0, "played": [[2, 1]]}',
        '{"person": 1, "version": 0, "played": [[0, NaN]]}',
        '{"person": 1, "version": 0, "played": [["0", 1]]}',
        '{"person": 1, "version": 0, "played": [[0, 1' + "0" * 5000 + "]]}",
        "[" * 100_000,
        '"\\ud800',
    ],
)
def test_a_save_that_cannot_be_read_is_400_and_changes_nothing(client, marking, text):
    response = post(client, marking, text)
    assert response.status_code == 400
    assert response.json()["error"]
    assert not Change.objects.exists()


def test_signs_that_no_store_takes_are_left_out_of_a_comment(client, marking):
    value = {"kind": "strength", "text": "Good\x00 light\ud800 touch\x0b\nagain"}
    save(client, marking, sent(marking, COMMENT, value))
    marking.refresh_from_db()
    (comment,) = marking.values("comment").values()
    assert comment["text"] == "Good  light  touch \nagain"


def test_only_a_lead_excuses_what_the_rubric_does_not_let_excuse(
    client, client_of, lead, marking
):
    excused = {"state": "excused", "reason": "Agreed adjustment"}
    answer = save(client, marking, sent(marking, CONSENT, excused)).json()
    assert [refusal["why"] for refusal in answer["refused"]] == ["forbidden"]
    change = sent(marking, CONSENT, excused)
    answer = save(client_of(lead), marking, change, person=lead.pk).json()
    assert answer["acknowledged"] == [change["id"]]


def test_the_marker_excuses_what_the_rubric_lets_excuse(client, marking):
    change = sent(
        marking,
        "element:pulses.palpate.radial.left",
        {"state": "excused", "reason": "Arm in plaster"},
    )
    assert save(client, marking, change).json()["refused"] == []


def test_a_released_marking_takes_no_change(client, marking):
    released(marking)
    response = save(client, marking, done(marking, "opening.consent"))
    assert (response.status_code, response.json()) == (409, {"error": "released"})


def test_changes_of_another_person_are_not_taken(client, lead, marking):
    change = done(marking, "opening.consent")
    response = save(client, marking, change, person=lead.pk)
    assert (response.status_code, response.json()) == (409, {"error": "another person"})
    assert not Change.objects.exists()


def test_a_save_while_signed_out_is_401(client_of, marking):
    assert save(client_of(None), marking).status_code == 401


@pytest.mark.parametrize("who", ["student", "classmate", "other_instructor"])
def test_nobody_else_saves(request, client_of, marking, who):
    person = request.getfixturevalue(who)
    change = done(marking, "opening.consent")
    assert save(client_of(person), marking, change, person=person.pk).status_code == 404


def test_a_save_needs_the_token(client_of, instructor, marking):
    client = client_of(instructor, enforce_csrf_checks=True)
    assert save(client, marking, done(marking, "opening.consent")).status_code == 403
    state = reverse("grading:desk_state", args=[marking.pk])
    token = client.get(state, headers={"accept": "application/json"}).json()["csrf"]
    client.defaults["HTTP_X_CSRFTOKEN"] = token
    assert save(client, marking, done(marking, "opening.consent")).status_code == 200


def test_played_parts_are_joined_and_kept(client, marking):
    save(client, marking, played=[[0, 10], [30, 40]])
    save(client, marking, played=[[9.5, 20]])
    marking.refresh_from_db()
    assert marking.played == [[0, 20], [30, 40]]


def test_work_is_counted_without_its_pauses(client, marking):
    save(client, marking, done(marking, "opening.consent"))
    now = timezone.now()
    for ago in (timedelta(seconds=30), timedelta(hours=2)):
        Marking.objects.update(saved_at=now - ago)
        save(client, marking, done(marking, "opening.hygiene"))
        marking.refresh_from_db()
    assert 29 <= marking.worked_seconds <= 35


def test_a_comment_kept_as_a_phrase_is_offered_next_time(client, marking):
    value = {
        "element": "opening.consent",
        "at": 3,
        "kind": "improve",
        "text": "Ask first.",
    }
    phrase = {"element": "opening.consent", "state": "said", "text": "Ask first."}
    change = sent(marking, COMMENT, value, phrase=phrase)
    save(client, marking, change)
    save(client, marking, change)
    kept = Phrase.objects.get()
    assert (kept.text, kept.state, kept.uses) == ("Ask first.", "said", 1)
    page = client.get(marking.get_absolute_url()).content.decode()
    assert "Ask first." in page


def test_each_use_of_a_phrase_is_counted(client, marking):
    phrase = {"element": "", "state": "", "text": "Slow down."}
    for number in range(3):
        value = {"at": number, "kind": "improve", "text": "Slow down here."}
        target = f"{COMMENT[:-1]}{number}"
        save(client, marking, sent(marking, target, value, phrase=phrase))
    assert Phrase.objects.get().uses == 3


def test_figures_come_from_the_scorer_once_all_is_given(client, marking):
    changes = [
        done(marking, element.key)
        for element in marking.definition.elements
        if not element.levels
    ]
    answer = save(client, marking, *changes).json()
    assert answer["figures"]["total"] is None
    level = sent(marking, "element:manner.explains", {"state": "level", "level": 3})
    assert save(client, marking, level).json()["figures"]["total"] is None
    total = save(client, marking, sent(marking, "rating", {"value": 3})).json()
    assert total["figures"]["total"]["percent"] == "100.0"
    assert total["figures"]["total"]["outcome"] == "pass"


def test_practice_shows_figures_early(client, marking):
    marking.assignment.purpose = "practice"
    marking.assignment.save(update_fields=["purpose"])
    answer = save(client, marking, done(marking, "opening.consent")).json()
    assert answer["figures"]["total"]["earned"] == "2"
    assert answer["figures"]["total"]["is_final"] is False


def test_an_order_that_the_times_contradict_is_asked_about(client, marking):
    feet = done(marking, "pulses.palpate.dorsalis-pedis.left", at=80)
    arms = done(marking, "pulses.palpate.radial.left", at=101)
    answer = save(client, marking, feet, arms).json()
    (check,) = answer["figures"]["checks"]
    assert (check["key"], check["result"]) == ("arms-first", "awaited")
    assert "1:20" in check["text"]
    assert "1:41" in check["text"]
    ruling = sent(marking, "ruling:arms-first", {"result": "met", "note": "Came back"})
    (check,) = save(client, marking, ruling).json()["figures"]["checks"]
    assert check["ruling"] == {"result": "met", "note": "Came back"}


def test_a_hazard_waits_for_the_second_person_where_the_assignment_says_so(
    client, marking
):
    marking.assignment.hazards_confirmed_by = "second"
    marking.assignment.save(update_fields=["hazards_confirmed_by"])
    target = COMMENT.replace("comment", "sighting")
    answer = save(
        client, marking, sent(marking, target, {"rule": "carried-on", "at": 61})
    ).json()
    assert answer["figures"]["words"] == {target.partition(":")[2]: "awaiting"}
    (check,) = answer["figures"]["checks"]
    assert check["result"] == "awaited"


def test_state_is_short_while_nothing_is_newer(client, marking):
    address = reverse("grading:desk_state", args=[marking.pk])
    assert "targets" not in client.get(f"{address}?version=0").json()
    save(client, marking, done(marking, "opening.consent"))
    assert set(client.get(f"{address}?version=0").json()["targets"]) == {CONSENT}


# On PostgreSQL the audit's lock is one more.
MOST_QUERIES = 13


def chain(marking, count):
    """Changes of one element, each made after the one before."""
    changes = []
    for number in range(count):
        after = changes[-1]["id"] if changes else None
        changes.append(
            sent(marking, CONSENT, {"state": "done", "at": number}, after=after)
        )
    return changes


@pytest.mark.parametrize("count", [1, 30])
def test_a_save_costs_the_same_at_1_and_at_30_changes(
    client, marking, django_assert_max_num_queries, count
):
    changes = chain(marking, count)
    assert marking.definition  # read from the store once for each server process
    with django_assert_max_num_queries(MOST_QUERIES):
        answer = save(client, marking, *changes).json()
    assert len(answer["acknowledged"]) == count


@pytest.mark.parametrize("count", [1, 30])
def test_refusals_cost_the_same_at_1_and_at_30(
    client, marking, django_assert_max_num_queries, count
):
    changes = chain(marking, count + 1)[1:]
    assert marking.definition
    save(client, marking, done(marking, "opening.consent"))
    with django_assert_max_num_queries(MOST_QUERIES):
        answer = save(client, marking, *changes).json()
    assert len(answer["refused"]) == count


def test_a_save_is_whole_or_not_at_all(client, marking, monkeypatch):
    monkeypatch.setattr(AuditEntry.objects.__class__, "append", _fails, raising=False)
    client.raise_request_exception = False
    assert save(client, marking, done(marking, "opening.consent")).status_code == 500
    marking.refresh_from_db()
    assert (marking.version, marking.targets) == (0, {})
    assert not Change.objects.exists()


def _fails(*args, **kwargs):
    raise RuntimeError("the disk is full")


def test_json_of_the_answer_is_plain(client, marking):
    answer = save(client, marking, done(marking, "opening.consent"))
    assert json.loads(answer.content)["figures"]["is_complete"] is False
