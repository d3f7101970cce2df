"""What the builder's server cannot read: words, and nothing done."""

import json

import pytest

from tests.rubric.builder import Page, rubric_of
from tests.rubric.drafts import change


@pytest.fixture
def rubric(course, lead):
    return rubric_of(course, lead)


@pytest.fixture
def mine(client_of, lead, rubric):
    return Page(client_of(lead), rubric)


GOOD = change("set", "sheet", fields={"pass_percent": 60})


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "must be JSON"),
        ("{", "must be JSON"),
        (b"\xff\xfe", "must be JSON"),
        ('{"changes": [NaN]}', "must be JSON"),
        ("[" * 100_000, "must be JSON"),
        ("[]", "must be an object"),
        ("null", "must be an object"),
        ('"changes"', "must be an object"),
        ("{}", "must be a list"),
        ({"changes": {}}, "must be a list"),
        ({"changes": None}, "must be a list"),
        ({"changes": [GOOD] * 501}, "at most 500"),
        ({"changes": [1]}, "16 to 64"),
        ({"changes": [GOOD, {"act": "set"}]}, "16 to 64"),
        ({"changes": [GOOD], "person": "1"}, "person must be a whole number"),
        ({"changes": [GOOD], "person": [1]}, "person must be a whole number"),
        ({"changes": [GOOD], "after": -1}, "after must be a whole number"),
        ({"changes": [GOOD], "after": 1.5}, "after must be a whole number"),
        ({"changes": [GOOD], "after": 10**20}, "after must be a whole number"),
        ({"changes": [GOOD], "more": "x" * 500_000}, "At most 500 kB"),
        ({"changes": [GOOD], "more": "x" * 3_000_000}, "At most 500 kB"),
    ],
)  # fmt: skip
def test_a_body_that_cannot_be_read_is_told_in_words(mine, rubric, body, words):
    answer = mine.post(body)
    assert answer.status_code == 422
    assert words in answer.json()["error"]
    before = rubric.draft
    rubric.refresh_from_db()
    assert rubric.draft == before


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "must be JSON"),
        ({}, "text must be"),
        ({"text": 5}, "text must be"),
        ({"text": "a", "in": 5}, "text must be"),
        ({"text": "a\n" * 501}, "at most 500"),
        ({"text": "a" * 500_001}, "At most 500 kB"),
    ],
)
def test_a_text_that_cannot_be_read_is_told_in_words(
    client_of, lead, rubric, body, words
):
    answer = client_of(lead).post(
        f"/rubrics/{rubric.pk}/paste/",
        body if isinstance(body, str) else json.dumps(body),
        content_type="application/json",
    )
    assert answer.status_code == 422
    assert words in answer.json()["error"]


@pytest.mark.parametrize("after", ["", "x", "-1", "1.5", "٣", "9" * 16])
def test_a_version_that_is_none_is_told_in_words(mine, after):
    answer = mine.client.get(mine.path, {"after": after})
    assert answer.status_code == 422
    assert "after must be a version" in answer.json()["error"]


def test_a_refused_change_stops_no_other(mine, rubric):
    answer = mine.send(
        change("set", "sheet", fields={"colour": "red"}),
        change("set", "sheet", fields={"pass_percent": 60}),
    )
    assert [r["status"] for r in answer.json()["results"]] == ["refused", "kept"]
    rubric.refresh_from_db()
    assert rubric.definition.pass_percent == 60


def test_when_the_session_ends_the_page_is_told_and_keeps_its_work(mine, rubric):
    mine.client.logout()
    answer = mine.send(GOOD)
    assert (answer.status_code, answer.json()) == (401, {"error": "signed out"})


def test_another_person_who_signed_in_here_does_not_send_my_changes(
    mine, rubric, lead, instructor
):
    mine.client.force_login(instructor)
    answer = mine.send(GOOD, person=lead.pk)
    assert (answer.status_code, answer.json()) == (409, {"error": "another person"})
    assert mine.send(GOOD, person=instructor.pk).status_code == 200


@pytest.mark.parametrize("who", ["student", "administrator", "stranger"])
def test_who_may_not_make_rubrics_has_none(client_of, request, rubric, who):
    client = client_of(request.getfixturevalue(who))
    answer = client.post(
        f"/rubrics/{rubric.pk}/changes/",
        json.dumps({"changes": [GOOD]}),
        content_type="application/json",
    )
    assert answer.status_code == 404


def test_no_value_however_odd_breaks_the_page(mine, rubric):
    """Each kind of value in each field: kept or refused, shown, and opened again."""
    odd = [
        None, True, 5, -1.5, 1e300, "", "text", "\x00", "\ud800", "<script>", "{{ x }}",
        [], [None], [[1]], {}, {"cap": "x"}, {"a": {"b": []}}, ["x"] * 300, "9" * 400,
    ]  # fmt: skip
    from rubric.definition.draft import FIELDS

    draft = rubric.opened
    for value in odd:
        nodes = {node.kind: node.id for node in draft.nodes.values()}
        sent = [
            change(
                "set", nodes[kind], base=mine.look()["version"], fields={name: value}
            )
            for kind, names in FIELDS.items()
            for name in names
        ]
        answer = mine.send(*sent)
        assert answer.status_code == 200
        assert mine.client.get(f"/rubrics/{rubric.pk}/").status_code == 200
    rubric.refresh_from_db()
    assert rubric.opened.file()
