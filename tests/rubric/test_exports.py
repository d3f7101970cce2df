"""Rubrics as files: what goes out comes in again."""

import re
from dataclasses import replace

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from accounts.models import AuditEntry
from rubric.definition import Draft, apply, read
from rubric.definition.exact import Number, loads
from rubric.exports import exported, exported_draft
from rubric.faults import Faults
from rubric.models import Rubric
from tests.factories import PULSE_CHECK, CourseFactory, MembershipFactory, edition_of
from tests.rubric.definitions import definitions

KINDS = pytest.mark.parametrize("kind", ["yaml", "json"])
any_definition = settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@any_definition
@given(definitions(), st.sampled_from(["yaml", "json"]))
def test_a_whole_draft_comes_in_again_as_it_went_out(definition, kind):
    file = exported_draft(Draft.of(definition), definition.title, kind)
    assert re.fullmatch(r"[a-z0-9][a-z0-9_-]*-draft\.(yaml|json)", file.name)
    assert read(file.text.encode(), file.name) == definition


def faulty(definition, **fields):
    change = {
        "id": "change-one-of-one",
        "act": "set",
        "node": "sheet",
        "base": 1,
        "fields": fields,
    }
    draft, (result,) = apply(Draft.of(definition), [change], by="Ada")
    assert result["status"] == "kept"
    return draft


@any_definition
@given(definitions(), st.sampled_from(["yaml", "json"]))
def test_a_faulty_draft_goes_out_with_everything_that_is_in_it(definition, kind):
    draft = faulty(definition, pass_percent="most\nof it", title="")
    file = exported_draft(draft, "My exam", kind)
    assert file.name == f"my-exam-unfinished-draft.{kind}"
    body = "".join(
        line for line in file.text.splitlines(True) if not line.startswith("#")
    )
    assert loads(body) == loads(draft.file())
    with pytest.raises(Faults, match="pass_percent"):
        read(file.text.encode(), "x")


PULSES = read(PULSE_CHECK.read_bytes(), "pulse-check.yaml")


def test_a_faulty_draft_says_on_top_what_is_to_be_mended():
    draft = faulty(PULSES, pass_percent="175")
    note, _, rest = exported_draft(draft, "x", "yaml").text.partition("\n{")
    assert note.splitlines() == [
        "# This draft is not finished and is exported as it stands.",
        "# Before it can be brought in again, 1 thing has to be mended:",
        "# - pass_percent is 175; allowed: a number from 0 to 100",
    ]
    assert '"pass_percent": 175' in rest


def test_a_faulty_draft_has_a_line_for_each_part():
    draft = faulty(PULSES, pass_percent="175")
    text = exported_draft(draft, "x", "json").text
    parts = [line for line in text.splitlines() if line.startswith('  {"key"')]
    assert len(parts) == sum(len(section.parts) for section in PULSES.sections)
    assert loads(text)["pass_percent"] == Number("175")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Knee & hip: <b>exam</b>", "knee-hip-bexamb-draft.json"),
        ("../../etc/passwd", "etcpasswd-draft.json"),
        ('a"; filename="b\r\n', "a-filenameb-draft.json"),
        ("Ψυχή", "rubric-draft.json"),
        ("x" * 200, "x" * 80 + "-draft.json"),
    ],
)
def test_names_of_files_are_safe(title, name):
    assert exported(PULSES, title, "draft", "json").name == name


def bring_in(client, course, name, content):
    file = SimpleUploadedFile(name, content)
    return client.post("/rubrics/import/", {"course": course.pk, "file": file})


@KINDS
@pytest.mark.parametrize("what", ["draft", "edition"])
def test_through_the_pages_a_rubric_goes_to_another_course_unchanged(
    kind, what, client_of, instructor, course
):
    edition = edition_of(course)
    other = MembershipFactory(
        user=instructor, course=CourseFactory(), role="instructor", cohort=None
    ).course
    name, pk = {
        "draft": ("rubric:export", edition.rubric_id),
        "edition": ("rubric:export_edition", edition.pk),
    }[what]
    answer = client_of(instructor).get(reverse(name, args=[pk, kind]))
    which = "draft" if what == "draft" else "edition-1"
    assert answer["Content-Disposition"] == (
        f'attachment; filename="two-minute-pulse-check-{which}.{kind}"'
    )
    assert answer.content.startswith({"yaml": b"format: ", "json": b"{"}[kind])
    bring_in(client_of(instructor), other, f"x.{kind}", answer.content)
    assert Rubric.objects.get(course=other).definition == edition.definition


def test_an_export_is_audited(client_of, instructor, course):
    edition = edition_of(course)
    client_of(instructor).get(
        reverse("rubric:export", args=[edition.rubric_id, "yaml"])
    )
    entry = AuditEntry.objects.get(verb="exported")
    assert (entry.actor, entry.about) == (instructor, f"rubric {edition.rubric_id}")
    assert entry.course == course


def test_a_faulty_draft_is_refused_with_its_faults_when_it_comes_back(
    client_of, instructor, course
):
    rubric = Rubric.bring_in(replace(PULSES), course=course, by=instructor)
    rubric.draft = faulty(PULSES, pass_percent="175").dump()
    rubric.save()
    path = reverse("rubric:export", args=[rubric.pk, "yaml"])
    answer = client_of(instructor).get(path)
    again = bring_in(client_of(instructor), course, "x.yaml", answer.content)
    assert again.status_code == 422
    assert "pass_percent is 175" in again.content.decode()
