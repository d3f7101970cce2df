"""Publishing: what is asked, what is refused, what an edition holds afterwards."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from rubric.definition import read
from rubric.models import Edition, NotPublished, Rubric
from tests.rubric.rubrics import TEXT, become, change

ROOT = Path(__file__).parents[2]


def address(rubric):
    return reverse("rubric:publish", args=[rubric.pk])


def form_of(page, **answers):
    """What the page's form would send: its fields as they stand, then the answers."""
    page = page.content.decode()
    fields = dict(
        re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page)
    )
    for radio in re.findall(r'<input type="radio"[^>]*checked[^>]*>', page):
        name, value = (re.search(f'{a}="([^"]*)"', radio)[1] for a in ("name", "value"))
        fields[name] = value
    fields["note"] = re.search(r"<textarea[^>]*>\s*(.*?)</textarea>", page, re.S)[1]
    return fields | answers


def questions(page):
    """Legend and name of each question, in the order of the page."""
    return re.findall(
        r'<legend>([^<]*?) <span.*?name="(meaning-\w+)"', page.content.decode(), re.S
    )


def publish(client, rubric, **answers):
    return client.post(address(rubric), form_of(client.get(address(rubric)), **answers))


def test_the_first_edition_asks_nothing(client_of, instructor, course):
    rubric = Rubric.bring_in(read(TEXT, "rubric"), course=course, by=instructor)
    client = client_of(instructor)
    assert questions(client.get(address(rubric))) == []
    response = publish(client, rubric)
    edition = Edition.objects.get()
    assert (response.status_code, response.url) == (302, edition.get_absolute_url())
    assert (edition.number, edition.note, edition.lineage) == (1, "First edition.", {})
    entry = AuditEntry.objects.get(verb="published edition")
    assert (entry.actor, entry.about) == (instructor, f"edition {edition.pk}")


def test_an_unchanged_draft_says_so_and_makes_nothing(client_of, instructor, rubric):
    client = client_of(instructor)
    page = client.get(address(rubric))
    assert "says just what" in page.content.decode()
    assert "<form method" not in page.content.decode().split("<main")[1]
    assert client.post(address(rubric), {"note": "Again"}).status_code == 409
    assert rubric.editions.count() == 1
    with pytest.raises(NotPublished, match="unchanged"):
        rubric.publish(by=instructor)


def test_the_note_is_drafted_from_what_changed(client_of, instructor, rubric):
    become(rubric, instructor, ("points: 2", "points: 3"))
    publish(client_of(instructor), rubric)
    assert rubric.editions.first().note == (
        "Re-weighted: Asks permission to examine and to record (points 2 to 3)."
    )


def test_words_are_the_same_unless_somebody_says_otherwise(
    client_of, instructor, rubric
):
    become(rubric, instructor, ("Cleans hands in view", "Rubs hands in view"))
    publish(client_of(instructor), rubric)
    assert rubric.editions.first().lineage == {}


def test_another_technique_must_be_answered_first(client_of, instructor, rubric):
    become(rubric, instructor, ("technique: ask", "technique: state"))
    client = client_of(instructor)
    response = publish(client, rubric)
    assert response.status_code == 422
    assert "Say whether it still means the same" in response.content.decode()
    assert rubric.editions.count() == 1


@pytest.mark.parametrize(
    ("answer", "token"), [("same", "opening.consent"), ("new", "opening.consent@2")]
)
def test_the_answer_makes_the_token(client_of, instructor, rubric, answer, token):
    become(rubric, instructor, ("technique: ask", "technique: state"))
    client = client_of(instructor)
    ((legend, name),) = questions(client.get(address(rubric)))
    assert legend == "Asks permission to examine and to record"
    assert publish(client, rubric, **{name: answer}).status_code == 302
    assert rubric.editions.first().tokens()["opening.consent"] == token


def test_a_grid_is_asked_about_once_and_answered_for_all(client_of, instructor, rubric):
    become(rubric, instructor, ("Feels the {site}", "Finds the {site}"))
    client = client_of(instructor)
    ((legend, name),) = questions(client.get(address(rubric)))
    assert legend == "Finds the … pulse"
    publish(client, rubric, **{name: "new"})
    assert len(rubric.editions.first().lineage) == 4


def test_a_renamed_element_keeps_its_token_where_its_author_says_so(
    client_of, instructor, rubric
):
    become(
        rubric,
        instructor,
        ("opening.hygiene", "opening.hands"),
        ("Cleans hands in view", "Rubs hands"),
    )
    client = client_of(instructor)
    ((_, name),) = questions(client.get(address(rubric)))
    publish(client, rubric, **{name: "opening.hygiene"})
    assert rubric.editions.first().lineage == {"opening.hands": "opening.hygiene"}


def test_two_added_elements_cannot_both_be_one_that_is_gone(
    client_of, instructor, rubric
):
    twice = """opening.hands
        text: Rubs hands
        technique: perform
        points: 1
      - key: opening.gel"""
    become(rubric, instructor, ("opening.hygiene", twice))
    client = client_of(instructor)
    answers = {
        name: "opening.hygiene" for _, name in questions(client.get(address(rubric)))
    }
    assert len(answers) == 2
    response = publish(client, rubric, **answers)
    assert response.status_code == 422
    assert "Only one can be." in response.content.decode()


def test_what_must_be_mended_is_listed_with_its_place(client_of, instructor, rubric):
    node = change(rubric, instructor, "opening.hygiene", technique="guess")
    client = client_of(instructor)
    page = client.get(address(rubric)).content.decode()
    assert f'href="{rubric.get_absolute_url()}#{node.id}"' in page
    assert "Cleans hands in view" in page
    assert client.post(address(rubric), {"note": ""}).status_code == 409
    assert rubric.editions.count() == 1


def test_a_draft_that_changed_meanwhile_is_shown_again_with_what_was_typed(
    client_of, instructor, lead, rubric
):
    become(
        rubric,
        instructor,
        ("technique: ask", "technique: state"),
    )
    client = client_of(instructor)
    ((_, name),) = questions(client.get(address(rubric)))
    sent = form_of(client.get(address(rubric)), **{name: "new", "note": "My words"})
    become(
        rubric, lead, ("technique: ask", "technique: state"), ("points: 2", "points: 3")
    )
    response = client.post(address(rubric), sent)
    assert response.status_code == 409
    assert "changed while you read it" in response.content.decode()
    again = form_of(response)
    assert (again["note"], again[name]) == ("My words", "new")
    assert rubric.editions.count() == 1
    assert client.post(address(rubric), again).status_code == 302


def test_an_answer_to_a_question_that_changed_is_not_kept(
    client_of, instructor, lead, rubric
):
    become(rubric, instructor, ("technique: ask", "technique: state"))
    client = client_of(instructor)
    ((_, name),) = questions(client.get(address(rubric)))
    sent = form_of(client.get(address(rubric)), **{name: "same"})
    become(rubric, lead, ("technique: ask", "technique: perform"))
    again = form_of(client.post(address(rubric), sent))
    assert name not in again


def test_a_version_that_is_no_number_is_shown_again(client_of, instructor, rubric):
    become(rubric, instructor, ("points: 2", "points: 3"))
    client = client_of(instructor)
    for seen in ("", "x", "9" * 30):
        sent = {"seen": seen, "after": "1", "note": ""}
        assert client.post(address(rubric), sent).status_code == 409
    assert rubric.editions.count() == 1


def test_a_note_that_is_too_long_keeps_what_was_typed(client_of, instructor, rubric):
    become(rubric, instructor, ("points: 2", "points: 3"))
    response = publish(client_of(instructor), rubric, note="n" * 501)
    assert response.status_code == 422
    assert "n" * 501 in response.content.decode()


@pytest.mark.parametrize("how", ["same", "other"])
def test_publishing_at_the_same_moment_never_gives_a_number_twice(database, how):
    """Of one draft: one edition and one refusal. Of two: numbers that differ."""
    environment = os.environ | {
        "BELLSIDE_DATABASE": database,
        "BELLSIDE_DEMO": "1",
        "DJANGO_SETTINGS_MODULE": "accounts.site.settings",
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.rubric.publishers", how],
        cwd=ROOT,
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    )
    told = json.loads(done.stdout)
    numbers, rounds = sorted(told["numbers"]), 12
    assert told["failed"] == []
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) + told["refused"] == 2 * rounds
    assert told["refused"] >= (rounds if how == "same" else 0)
