import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from accounts.models import AuditEntry
from rubric.models import Rubric
from tests.factories import PULSE_CHECK, edition_of

IMPORT = "/rubrics/import/"


def bring_in(client, course, content, name="rubric.yaml"):
    return client.post(
        IMPORT, {"course": course.pk, "file": SimpleUploadedFile(name, content)}
    )


def test_an_imported_file_becomes_a_draft(client_of, instructor, course):
    response = bring_in(client_of(instructor), course, PULSE_CHECK.read_bytes())
    rubric = Rubric.objects.get()
    assert response.url == rubric.get_absolute_url()
    assert rubric.changed_by == instructor
    assert len(rubric.definition.elements) == 8
    assert AuditEntry.objects.filter(verb="imported rubric").exists()


def test_every_fault_is_shown_and_nothing_is_kept(client_of, instructor, course):
    text = PULSE_CHECK.read_text(encoding="utf-8")
    bad = text.replace("pass_percent: 75", "pass_percent: 175").replace(
        "technique: ask", "technique: asks"
    )
    page = bring_in(client_of(instructor), course, bad.encode()).content.decode()
    assert "rubric.yaml:9" in page
    assert "175" in page
    assert "asks" in page
    assert not Rubric.objects.exists()


@pytest.mark.parametrize("content", [b"\x00\xff", b"a" * 1_000_001, b"- a\n- b\n"])
def test_what_is_no_rubric_is_refused_in_words(client_of, instructor, course, content):
    response = bring_in(client_of(instructor), course, content)
    assert response.status_code == 422
    assert not Rubric.objects.exists()


def test_an_edition_is_shown_whole(client_of, instructor, course):
    edition = edition_of(course)
    page = client_of(instructor).get(edition.get_absolute_url()).content.decode()
    assert "At least three of the four pulses" in page
    assert "Feels the dorsalis pedis pulse, left" in page


def test_a_new_draft_leaves_the_edition_as_it_is(client_of, instructor, course):
    edition = edition_of(course)
    changed = PULSE_CHECK.read_text(encoding="utf-8").replace(
        "pass_percent: 75", "pass_percent: 80"
    )
    bring_in(client_of(instructor), course, changed.encode())
    edition.refresh_from_db()
    assert edition.definition.pass_percent == 75
    assert edition.rubric.definition.pass_percent == 80


def test_an_edition_that_is_used_cannot_be_deleted(db, cohort):
    from django.db.models import ProtectedError

    from tests.factories import AssignmentFactory

    assignment = AssignmentFactory(cohort=cohort)
    with pytest.raises(ProtectedError):
        assignment.edition.delete()


def test_the_list_asks_no_more_often_for_thirty_rows(
    client_of,
    instructor,
    course,
    django_assert_num_queries,
    django_assert_max_num_queries,
):
    client = client_of(instructor)
    text = PULSE_CHECK.read_text(encoding="utf-8")

    def rows(start, end):
        for n in range(start, end):
            edition_of(course, text.replace("Two-minute", f"{n}-minute"), instructor)

    rows(0, 1)
    client.get("/rubrics/")
    with django_assert_max_num_queries(15) as few:
        client.get("/rubrics/")
    count = len(few)
    rows(1, 30)
    with django_assert_num_queries(count):
        client.get("/rubrics/")
