"""What stands beside a draft of its last edition."""

from django.urls import reverse

from tests.rubric.rubrics import become, change


def aside(client, rubric):
    page = client.get(reverse("rubric:changes", args=[rubric.pk]) + "?after=0")
    return " ".join(page.json()["aside"].split())


def test_the_draft_says_what_changed_since_its_last_edition(
    client_of, instructor, rubric
):
    client = client_of(instructor)
    assert "Nothing has changed." in aside(client, rubric)
    become(rubric, instructor, ("points: 2", "points: 3"))
    assert "re-weighted: Asks permission to examine and to record" in aside(
        client, rubric
    )


def test_a_faulty_draft_is_not_compared(client_of, instructor, rubric):
    change(rubric, instructor, "opening.hygiene", technique="guess")
    said = aside(client_of(instructor), rubric)
    assert "compared once nothing must be mended" in said
