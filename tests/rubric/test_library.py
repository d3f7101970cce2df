"""The page of starter rubrics, and copies of them."""

import html5lib
import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from rubric.library import starters
from rubric.models import Rubric
from tests.factories import CourseFactory, MembershipFactory
from tests.pages import words as words_of

LIBRARY, COPY = "/rubrics/library/", "/rubrics/library/copy/"


def words(response):
    return words_of(html5lib.parse(response.content.decode()))


def copy(client, course, name="knee"):
    return client.post(COPY, {"starter": name, "course": course.pk})


def test_the_page_counts_each_starter(client_of, instructor):
    page = words(client_of(instructor).get(LIBRARY))
    knee = page.partition("Knee examination")[2].partition("Copy Knee")[0]
    counts = "sections8 elements63 criticals6 hazards5 points62 minutes at most15"
    assert counts in knee
    assert "no clinical guidance: local policy, licensed supervision" in page


@pytest.mark.parametrize("name", starters())
def test_a_starters_page_shows_each_part_with_its_source(name, client_of, instructor):
    page = words(client_of(instructor).get(reverse("rubric:starter", args=[name])))
    for section in starters()[name].definition.sections:
        for part in section.parts:
            assert " ".join(part.source.split()) in page
    for source in starters()[name].sources:
        assert source.cite in page


def test_one_course_needs_one_click(client_of, instructor, course):
    page = client_of(instructor).get(LIBRARY).content.decode()
    assert f'<input type="hidden" name="course" value="{course.pk}">' in page
    response = copy(client_of(instructor), course)
    rubric = Rubric.objects.get()
    assert response.url == rubric.get_absolute_url()
    assert (rubric.course, rubric.changed_by) == (course, instructor)
    assert rubric.definition == starters()["knee"].definition


def test_of_several_courses_one_is_chosen(client_of, instructor, course):
    second = MembershipFactory(
        user=instructor, course=CourseFactory(), role="instructor", cohort=None
    ).course
    page = client_of(instructor).get(LIBRARY).content.decode()
    assert '<select name="course"' in page
    refused = client_of(instructor).post(COPY, {"starter": "knee"})
    assert refused.status_code == 422
    assert "Course: This field is required." in words(refused)
    copy(client_of(instructor), second)
    assert Rubric.objects.get().course == second


def test_a_title_that_is_taken_gets_a_number_and_nothing_is_overwritten(
    client_of, instructor, course
):
    for _ in range(3):
        copy(client_of(instructor), course)
    titles = list(Rubric.objects.order_by("pk").values_list("title", flat=True))
    assert titles == ["Knee examination", "Knee examination 2", "Knee examination 3"]
    assert [r.definition.title for r in Rubric.objects.order_by("pk")] == titles


def test_the_longest_title_still_gets_its_number(instructor, course):
    from dataclasses import replace

    long = replace(starters()["knee"].definition, title="x" * 200)
    for _ in range(2):
        rubric = Rubric.copy_in(long, course=course, by=instructor, of="x")
    assert rubric.title == "x" * 198 + " 2"
    assert rubric.definition.title == rubric.title


def test_a_copy_is_audited(client_of, instructor, course):
    copy(client_of(instructor), course)
    entry = AuditEntry.objects.get(verb="copied starter rubric")
    assert (entry.actor, entry.course) == (instructor, course)
    assert '"knee"' in entry.detail


@pytest.mark.parametrize("name", ["", "../knee", "spleen"])
def test_what_is_no_starter_is_not_copied(client_of, instructor, course, name):
    response = copy(client_of(instructor), course, name)
    assert response.status_code == 422
    assert "Not copied" in words(response)
    assert not Rubric.objects.exists()
    assert client_of(instructor).get(f"{LIBRARY}spleen/").status_code == 404


def test_nobody_copies_into_a_course_of_others(client_of, instructor, other_course):
    assert copy(client_of(instructor), other_course).status_code == 422
    assert not Rubric.objects.exists()
