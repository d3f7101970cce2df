import html

import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from accounts.roles import Role
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    change,
    released,
)

LINK_ELSEWHERE = "https://elsewhere.example/v/1"


@pytest.fixture
def assignment(cohort, instructor):
    return AssignmentFactory(cohort=cohort, markers=[instructor])


@pytest.fixture
def marking(assignment, instructor, student):
    submission = SubmissionFactory(assignment=assignment, student=student, number=14)
    return MarkingFactory(submission=submission, marker=instructor)


@pytest.fixture
def desk(client_of, instructor):
    return lambda marking, person=instructor: client_of(person).get(
        reverse("grading:desk", args=[marking.pk])
    )


def test_the_sheet_reads_without_scripts(desk, marking):
    value = {"state": "said", "at": 32.0, "speed": 1}
    marking.record(
        [change(marking, "element:opening.hygiene", value)], by=marking.marker
    )
    page = desk(marking).content.decode()
    assert "Cleans hands in view" in page
    assert "said only" in page
    assert "#t=32" in page
    assert "<span data-marked>1</span> of 8 marked" in page


def test_a_site_grid_is_a_table_of_sites_and_sides(desk, marking):
    page = desk(marking).content.decode()
    assert "<caption>Feels the … pulse</caption>" in page
    assert '<th scope="row">dorsalis pedis</th>' in page
    assert '<th scope="col">left</th><th scope="col">right</th>' in page


def test_no_name_is_anywhere_in_the_page_where_names_are_hidden(desk, marking, student):
    page = html.unescape(desk(marking).content.decode())
    assert "Submission 14" in page
    assert student.name not in page
    assert student.email not in page


def test_the_name_is_shown_where_names_are_not_hidden(desk, marking, student):
    marking.assignment.names_hidden = False
    marking.assignment.save(update_fields=["names_hidden"])
    assert f"<h1>{student.name}</h1>" in desk(marking).content.decode()


def test_opening_the_desk_is_in_the_audit(desk, marking, instructor):
    desk(marking)
    entry = AuditEntry.objects.get(verb=AuditEntry.Verb.SAW)
    assert (entry.actor, entry.about) == (instructor, f"marking {marking.pk}")


@pytest.mark.parametrize(
    ("who", "status"),
    [
        ("student", 404),
        ("classmate", 404),
        ("other_instructor", 404),
        ("stranger", 404),
        ("administrator", 404),
        ("lead", 200),
        ("instructor", 200),
    ],
)
def test_only_its_marker_and_a_lead_open_a_marking(request, desk, marking, who, status):
    assert desk(marking, request.getfixturevalue(who)).status_code == status


def test_a_colleague_does_not_open_my_marking(desk, marking, course):
    from tests.factories import MembershipFactory

    colleague = MembershipFactory(course=course, role=Role.INSTRUCTOR, cohort=None).user
    assert desk(marking, colleague).status_code == 404


def test_a_file_opens_the_policy_for_its_host_alone(desk, marking):
    marking.submission.link = "https://files.example/a.mp4"
    marking.submission.save(update_fields=["link"])
    policy = desk(marking).headers["Content-Security-Policy"]
    assert "media-src 'self' https://files.example;" in policy + ";"
    assert "frame-src" not in policy


def test_a_described_host_plays_in_a_frame_and_no_other_host_may(
    desk, marking, settings
):
    settings.RECORDING_HOSTS = [
        {
            "name": "a host",
            "pattern": r"https://host\.example/(?P<id>\w+)",
            "plays": "frame",
            "address": "https://player.host.example/{id}",
            "messages": {"preset": "player.js"},
        }
    ]
    marking.submission.link = "https://host.example/abc"
    marking.submission.save(update_fields=["link"])
    answer = desk(marking)
    assert 'src="https://player.host.example/abc"' in answer.content.decode()
    policy = answer.headers["Content-Security-Policy"]
    assert "frame-src https://player.host.example" in policy


def test_any_other_link_opens_in_its_own_window_and_nothing_else_is_allowed(
    desk, marking
):
    marking.submission.link = LINK_ELSEWHERE
    marking.submission.save(update_fields=["link"])
    answer = desk(marking)
    assert f'href="{LINK_ELSEWHERE}" target="_blank"' in answer.content.decode()
    assert "elsewhere.example" not in answer.headers["Content-Security-Policy"]


def test_captions_are_for_whoever_may_open_the_desk(client_of, marking, classmate):
    marking.submission.captions = "WEBVTT\n\n00:01.000 --> 00:02.000\nHello\n"
    marking.submission.save(update_fields=["captions"])
    address = reverse("grading:desk_captions", args=[marking.pk])
    assert client_of(marking.marker).get(address).content.startswith(b"WEBVTT")
    assert client_of(classmate).get(address).status_code == 404


def test_a_released_marking_shows_its_sheet_and_takes_no_keys(desk, marking):
    released(marking)
    page = desk(marking).content.decode()
    assert "released and closed" in page
    assert "desk.js" not in page


@pytest.mark.parametrize("elements", [1, 30])
def test_opening_the_desk_costs_the_same_at_1_and_at_30_marks(
    client_of, marking, django_assert_max_num_queries, elements
):
    keys = [element.key for element in marking.definition.elements][: min(elements, 8)]
    for i in range(elements):
        value = {"state": "done", "at": float(i), "speed": 1}
        key = keys[i % len(keys)]
        if key == "manner.explains":
            value |= {"state": "level", "level": 2}
        marking.record([change(marking, f"element:{key}", value)], by=marking.marker)
    client = client_of(marking.marker)
    address = reverse("grading:desk", args=[marking.pk])
    client.get(address)
    with django_assert_max_num_queries(12):
        client.get(address)
