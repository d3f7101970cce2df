"""The page that compares two editions, or an edition and the draft."""

import pytest
from django.urls import reverse

from tests.rubric.rubrics import become, change


def address(rubric, **query):
    page = reverse("rubric:compare", args=[rubric.pk])
    return page + "?" + "&".join(f"{k}={v}" for k, v in query.items())


def text_of(response):
    return " ".join(response.content.decode().split())


CHANGES = [
    ("Cleans hands in view", "Rubs hands in view"),
    ("points: 2", "points: 2.5"),
    ("count: 3", "count: 2"),
    ("pass_percent: 75", "pass_percent: 80"),
    ("sites: [radial, dorsalis pedis]", "sites: [radial, dorsalis pedis, popliteal]"),
]


def test_each_change_is_said_in_words(client_of, instructor, rubric):
    become(rubric, instructor, *CHANGES)
    page = text_of(client_of(instructor).get(address(rubric)))
    for words in (
        "From edition 1 to the draft.",
        "<del>Cleans hands in view</del>",
        "<ins>Rubs hands in view</ins>",
        "<del>2</del>",
        "<ins>2.5</ins>",
        "<dt>pass mark</dt>",
        "Feels the popliteal pulse, left",
        "</span> Added",
        "</span> Reworded",
        "</span> Re-weighted",
        "</span> Rules changed",
    ):
        assert words in page, words


def test_any_two_editions_can_be_compared_either_way(client_of, instructor, rubric):
    become(rubric, instructor, ("points: 2", "points: 3"))
    rubric.publish(by=instructor)
    client = client_of(instructor)
    page = text_of(client.get(address(rubric, **{"from": 2, "to": 1})))
    assert "From edition 2 to edition 1." in page
    assert "<del>3</del>" in page
    assert "say the same" in text_of(
        client.get(address(rubric, **{"from": 2, "to": 2}))
    )


def test_what_means_something_else_is_named(client_of, instructor, rubric):
    become(rubric, instructor, ("technique: ask", "technique: state"))
    rubric.publish(by=instructor, anew=["opening.consent"])
    query = {"from": 1, "to": 2}
    page = text_of(client_of(instructor).get(address(rubric, **query)))
    assert "7 of 8 elements in both mean the same" in page
    assert "<li>Asks permission to examine and to record</li>" in page


@pytest.mark.parametrize("query", [{"from": 99}, {"to": "x"}, {"from": ""}])
def test_an_edition_that_is_not_there_is_said_on_the_page(
    client_of,
    instructor,
    rubric,
    query,
):
    response = client_of(instructor).get(address(rubric, **query))
    assert response.status_code == 422
    assert "could not be taken" in text_of(response)


def test_a_faulty_draft_says_why_it_is_not_compared(client_of, instructor, rubric):
    change(rubric, instructor, "opening.hygiene", technique="guess")
    page = text_of(client_of(instructor).get(address(rubric)))
    assert "cannot be compared yet" in page
    assert reverse("rubric:publish", args=[rubric.pk]) in page


def test_the_page_asks_no_more_often_for_many_editions(
    client_of,
    instructor,
    rubric,
    django_assert_max_num_queries,
):
    client = client_of(instructor)
    client.get(address(rubric))
    with django_assert_max_num_queries(15) as few:
        client.get(address(rubric))
    count = len(few)
    for n in range(10):
        become(rubric, instructor, ("points: 2", f"points: 2.{n + 1}"))
        rubric.publish(by=instructor)
    with django_assert_max_num_queries(count):
        client.get(address(rubric, **{"from": 3, "to": 9}))
