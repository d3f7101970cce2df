"""The builder opens a long exam as it opens a short one."""

from pathlib import Path

import pytest

from rubric.definition import read
from rubric.models import Rubric

RUBRICS = Path(__file__).parents[2] / "fixtures" / "rubrics"
LARGEST_PAGE = 120_000  # bytes, before they are compressed


@pytest.fixture
def path_of(course, lead):
    """The address of a starter rubric's builder, in the course."""

    def make(name):
        definition = read((RUBRICS / name).read_bytes(), name)
        rubric = Rubric.bring_in(definition, course=course, by=lead)
        rubric.publish(by=lead)
        return rubric.get_absolute_url()

    return make


def test_a_long_exam_is_a_page_of_bearable_size(client_of, instructor, path_of):
    page = client_of(instructor).get(path_of("cardiovascular.yaml"))
    assert len(page.content) < LARGEST_PAGE


def test_a_long_exam_asks_the_store_no_more_often_than_a_short_one(
    client_of,
    instructor,
    path_of,
    django_assert_num_queries,
    django_assert_max_num_queries,
):
    client = client_of(instructor)
    short, long = path_of("pulse-check.yaml"), path_of("cardiovascular.yaml")
    client.get(short)
    with django_assert_max_num_queries(10) as asked:
        client.get(short)
    count = len(asked)
    assert count > 0
    with django_assert_num_queries(count):
        client.get(long)
