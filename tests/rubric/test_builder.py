import json
from datetime import timedelta

import pytest
from django.utils import timezone

from accounts.models import AuditEntry
from rubric.definition import Draft
from rubric.models import Rubric
from tests.factories import PULSE_CHECK, MembershipFactory
from tests.rubric.builder import Page, rubric_of
from tests.rubric.drafts import change, part


@pytest.fixture
def rubric(course, lead):
    return rubric_of(course, lead)


@pytest.fixture
def mine(client_of, instructor, rubric):
    return Page(client_of(instructor), rubric)


@pytest.fixture
def theirs(client_of, lead, rubric):
    return Page(client_of(lead), rubric)


def test_the_page_carries_the_draft(client_of, instructor, rubric):
    page = client_of(instructor).get(f"/rubrics/{rubric.pk}/").content.decode()
    block = page.partition('<script id="draft" type="application/json">')[2]
    told = json.loads(block.partition("</script>")[0])
    assert told == rubric.opened.wire()
    assert told["sections"][0]["parts"][0]["fields"]["key"] == "opening.consent"


def test_a_new_rubric_opens_in_the_builder(client_of, instructor, course):
    client = client_of(instructor)
    answer = client.post("/rubrics/new/", {"course": course.pk, "title": " Knee "})
    rubric = Rubric.objects.get()
    assert answer.url == rubric.get_absolute_url()
    assert (rubric.title, rubric.opened.title) == ("Knee", "Knee")
    assert client.get(answer.url).status_code == 200
    assert AuditEntry.objects.filter(verb="began rubric", actor=instructor).exists()


@pytest.mark.parametrize("title", ["", "Two-minute pulse check", "x" * 201])
def test_a_title_that_cannot_be_is_told(client_of, instructor, rubric, title):
    answer = client_of(instructor).post(
        "/rubrics/new/", {"course": rubric.course_id, "title": title}
    )
    assert answer.status_code == 422
    assert Rubric.objects.count() == 1


def test_a_change_is_kept_and_answered(mine, rubric, instructor):
    answer = mine.set("sheet", pass_percent="60")
    assert answer["results"][0]["status"] == "kept"
    assert answer["version"] == 2
    rubric.refresh_from_db()
    assert rubric.definition.pass_percent == 60
    assert rubric.changed_by == instructor


def test_both_peoples_work_stays(mine, theirs, rubric):
    node = part(rubric.opened, "opening.consent")
    mine.set(node, points="7")
    theirs.set(node, text="Asks twice")
    rubric.refresh_from_db()
    consent = rubric.definition.elements[0]
    assert (consent.points, consent.text) == (7, "Asks twice")


def test_a_clash_shows_theirs_and_keeps_it(mine, theirs, rubric, lead):
    node = part(rubric.opened, "opening.consent")
    theirs.set(node, points="8")
    (result,) = mine.set(node, points="7")["results"]
    assert result["status"] == "clash"
    assert (result["node"]["fields"]["points"], result["node"]["by"]) == (8, lead.name)
    rubric.refresh_from_db()
    assert rubric.definition.elements[0].points == 8


def test_a_page_learns_what_others_did(mine, theirs, rubric):
    node = part(rubric.opened, "opening.consent")
    theirs.set(node, points="8")
    theirs.send(change("move", "s2", after=None, **{"in": "sections"}))
    told = mine.look(after=mine.version)
    assert [n["id"] for n in told["nodes"]] == [node]
    assert told["order"]["sections"][0] == "s2"
    assert told["version"] == mine.version + 2


def test_an_answer_tells_what_others_did_where_it_is_asked_to(mine, theirs, rubric):
    node = part(rubric.opened, "opening.consent")
    theirs.set(node, points="8")
    own = change("set", "sheet", base=1, fields={"language": "de"})
    told = mine.send(own, after=mine.version).json()
    assert {n["id"] for n in told["nodes"]} == {node, "sheet"}


def test_a_page_that_knows_all_is_not_sent_the_aside_again(mine):
    told = mine.look(after=mine.version)
    assert told["nodes"] == []
    assert "aside" not in told
    assert "aside" in mine.look(after=0)


def test_the_same_batch_sent_twice_is_made_once(mine, rubric):
    sent = change("set", "sheet", fields={"pass_percent": 60})
    first, second = mine.send(sent).json(), mine.send(sent).json()
    assert first["version"] == second["version"] == 2
    assert second["results"][0]["status"] == "kept"


def test_a_faulty_draft_is_kept_opened_and_refused_at_publishing(
    mine, client_of, instructor, rubric
):
    mine.set("sheet", pass_percent="175")
    client = client_of(instructor)
    assert "175" in client.get(f"/rubrics/{rubric.pk}/").content.decode()
    assert client.get("/rubrics/").status_code == 200
    client.post(f"/rubrics/{rubric.pk}/publish/", {"note": ""})
    assert not rubric.editions.exists()
    mine.set("sheet", pass_percent="70")
    seen = Rubric.objects.get(pk=rubric.pk).opened.version
    sent = {"seen": seen, "after": 0, "note": ""}
    client.post(f"/rubrics/{rubric.pk}/publish/", sent)
    assert rubric.editions.get().definition.pass_percent == 70


def test_the_rubric_is_called_as_its_draft_is(mine, rubric, course, instructor):
    mine.set("sheet", title="Pulses, in two minutes")
    rubric.refresh_from_db()
    assert rubric.title == "Pulses, in two minutes"
    mine.send(change("set", "sheet", base=2, fields={"title": ""}))
    rubric.refresh_from_db()
    assert rubric.title == "Pulses, in two minutes"
    Rubric.begin("Knee", course=course, by=instructor)
    (result,) = mine.send(
        change("set", "sheet", base=3, fields={"title": "Knee"})
    ).json()["results"]
    assert result["status"] == "refused"
    assert "another rubric" in result["why"]


def test_the_audit_hears_of_a_person_once_a_day(rubric, instructor, lead, monkeypatch):
    def work(person, percent):
        fields = {"pass_percent": percent}
        base = rubric.opened.version
        rubric.change([change("set", "sheet", base=base, fields=fields)], by=person)

    for percent in range(6):
        work((instructor, lead)[percent % 2], percent)
    said = AuditEntry.objects.filter(verb="changed rubric")
    assert [entry.actor for entry in said] == [instructor, lead]
    tomorrow = timezone.now() + timedelta(days=1)
    monkeypatch.setattr("django.utils.timezone.now", lambda: tomorrow)
    work(instructor, 60)
    work(instructor, 61)
    assert said.all().count() == 3


def test_what_changes_nothing_is_not_told_to_the_audit(mine):
    mine.set("sheet", pass_percent="75")
    assert not AuditEntry.objects.filter(verb="changed rubric").exists()


def test_an_import_over_a_draft_meets_open_pages_with_a_clash(
    mine, client_of, lead, rubric
):
    from django.core.files.uploadedfile import SimpleUploadedFile

    node = part(rubric.opened, "opening.consent")
    file = SimpleUploadedFile("pulse.yaml", PULSE_CHECK.read_bytes())
    client_of(lead).post("/rubrics/import/", {"course": rubric.course_id, "file": file})
    rubric.refresh_from_db()
    before = rubric.draft
    sent = (
        change("set", node, base=mine.version, fields={"points": "9"}),
        change("set", "sheet", base=mine.version, fields={"pass_percent": "9"}),
    )
    results = mine.send(*sent).json()["results"]
    assert [r["status"] for r in results] == ["clash", "clash"]
    rubric.refresh_from_db()
    assert rubric.draft == before
    told = mine.look(after=mine.version)
    assert {n["id"] for n in told["nodes"]} == set(Draft.load(before).nodes)


def test_pasted_lines_are_shown_and_not_taken(client_of, instructor, rubric):
    before = rubric.draft
    answer = client_of(instructor).post(
        f"/rubrics/{rubric.pk}/paste/",
        json.dumps({"text": "• Feels the pulse (2)\r\n", "in": "s1"}),
        content_type="application/json",
    )
    (row,) = answer.json()["rows"]
    assert row["fields"]["key"] == "opening.feels-pulse"
    rubric.refresh_from_db()
    assert rubric.draft == before


def test_finding_lists_name_the_node_they_are_about(mine, rubric):
    node = part(rubric.opened, "opening.consent")
    answer = mine.set(node, points="many")
    assert f'data-node="{node}"' in answer["aside"]


def test_publishing_and_editing_leave_each_others_columns(mine, rubric, instructor):
    """A row read before a publication does not take its number back."""
    rubric.publish(by=instructor)
    mine.set("sheet", pass_percent="60")
    rubric_of(rubric.course, instructor)
    rubric.refresh_from_db()
    assert rubric.last_number == 1


def test_a_change_asks_the_store_no_more_for_a_large_draft(
    mine, django_assert_max_num_queries
):
    mine.set("sheet", pass_percent="60")
    with django_assert_max_num_queries(14):
        mine.send(change("set", "sheet", base=2, fields={"pass_percent": "61"}))


def test_whoever_marks_elsewhere_learns_nothing(client_of, other_instructor, rubric):
    client = client_of(other_instructor)
    for path in ("", "changes/", "paste/"):
        assert client.post(f"/rubrics/{rubric.pk}/{path}").status_code in (404, 405)
    assert client.get(f"/rubrics/{rubric.pk}/").status_code == 404


def test_a_member_of_two_courses_edits_in_each(
    client_of, instructor, other_course, lead
):
    MembershipFactory(
        user=instructor, course=other_course, role="instructor", cohort=None
    )
    page = Page(client_of(instructor), rubric_of(other_course, lead))
    assert page.set("sheet", pass_percent="60")["results"][0]["status"] == "kept"
