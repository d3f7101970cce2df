import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from grading.models import Release
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    change,
    mark_all,
    released,
)


@pytest.fixture
def marking(cohort, instructor, student):
    assignment = AssignmentFactory(cohort=cohort, markers=[instructor])
    submission = SubmissionFactory(assignment=assignment, student=student, number=14)
    return MarkingFactory(submission=submission, marker=instructor)


@pytest.fixture
def client(client_of, instructor):
    return client_of(instructor)


def address(marking, name="desk_release"):
    return reverse(f"grading:{name}", args=[marking.pk])


def test_an_incomplete_sheet_says_what_is_open_and_leads_to_it(client, marking):
    value = {"state": "done", "at": 1.0}
    marking.record(
        [change(marking, "element:opening.consent", value)], by=marking.marker
    )
    page = client.get(address(marking)).content.decode()
    assert f'{marking.get_absolute_url()}#e-opening.hygiene" autofocus' in page
    assert "#e-opening.consent" not in page
    assert "global rating" in page
    assert "Release to the student" not in page


def test_an_incomplete_sheet_is_not_released_whatever_is_sent(client, marking):
    client.post(address(marking), {"version": marking.version})
    assert not Release.objects.exists()


def test_an_order_to_rule_on_keeps_it_from_release(client, marking):
    mark_all(marking)
    late = {"state": "done", "at": 90.0}
    target = "element:pulses.palpate.radial.left"
    marking.record([change(marking, target, late)], by=marking.marker)
    page = client.get(address(marking)).content.decode()
    assert "Rule on it" in page
    assert "0:90" not in page
    assert "1:30" in page


def test_one_confirmation_releases_and_leads_on(client, marking):
    mark_all(marking)
    page = client.get(address(marking)).content.decode()
    assert "100.0%" in page
    answer = client.post(address(marking), {"version": marking.version}, follow=True)
    release = Release.objects.get()
    assert release.get_absolute_url() in answer.content.decode()
    assert release.outcome == "pass"


def test_after_release_the_next_recording_of_the_queue_is_one_key_away(client, marking):
    other = MarkingFactory(
        submission=SubmissionFactory(assignment=marking.assignment, number=15),
        marker=marking.marker,
    )
    released(marking)
    page = client.get(address(marking)).content.decode()
    assert f'href="{other.get_absolute_url()}" autofocus>Next: submission 15' in page


def test_what_was_not_played_is_told(client, marking):
    mark_all(marking)
    marking.record([], by=marking.marker, played=[[0, 30], [60, 120]])
    assert "0:30 to 1:00" in client.get(address(marking)).content.decode()


def test_the_range_is_told_where_something_was_not_seen(client, marking):
    mark_all(marking, **{"pulses.rate": "unseen"})
    page = client.get(address(marking)).content.decode()
    assert "Had all of it been missed" in page


def test_a_sheet_that_changed_since_it_was_looked_at_is_not_released(client, marking):
    mark_all(marking)
    seen = marking.version
    value = {"state": "missed", "at": 1.0}
    marking.record(
        [change(marking, "element:opening.consent", value)], by=marking.marker
    )
    answer = client.post(address(marking), {"version": seen})
    assert answer.status_code == 409
    assert "changed after you opened this page" in answer.content.decode()
    assert not Release.objects.exists()


def test_release_of_nonsense_is_an_error_on_the_page(client, marking):
    mark_all(marking)
    assert client.post(address(marking), {"version": "x"}).status_code == 422


def test_a_correction_needs_a_reason_and_keeps_the_first_release(client, marking):
    first = released(marking)
    client.post(address(marking, "reopen"), {"reason": "The bell was used at 9:40."})
    marking.refresh_from_db()
    assert not marking.closed
    page = client.get(address(marking)).content.decode()
    assert "The bell was used at 9:40." in page
    form = {"version": marking.version, "reason": ""}
    assert client.post(address(marking), form).status_code == 422
    client.post(address(marking), form | {"reason": "The bell was used at 9:40."})
    correction = Release.objects.exclude(pk=first.pk).get()
    assert correction.corrects == first
    assert correction.reason == "The bell was used at 9:40."


def test_reopening_needs_a_reason(client, marking):
    released(marking)
    assert client.post(address(marking, "reopen"), {"reason": " "}).status_code == 422
    marking.refresh_from_db()
    assert marking.closed


def test_reopening_twice_changes_nothing(client, marking):
    released(marking)
    for _ in range(2):
        client.post(address(marking, "reopen"), {"reason": "A slip."})
    assert AuditEntry.objects.filter(verb=AuditEntry.Verb.REOPENED).count() == 1


@pytest.mark.parametrize("who", ["student", "classmate", "other_instructor"])
def test_nobody_else_releases_or_reopens(request, client_of, marking, who):
    mark_all(marking)
    client = client_of(request.getfixturevalue(who))
    form = {"version": marking.version, "reason": "x"}
    assert client.post(address(marking), form).status_code == 404
    assert client.post(address(marking, "reopen"), form).status_code == 404


def test_no_name_on_the_release_pages_where_names_are_hidden(client, marking, student):
    mark_all(marking)
    assert student.name not in client.get(address(marking)).content.decode()
    client.post(address(marking), {"version": marking.version})
    assert student.name not in client.get(address(marking)).content.decode()
