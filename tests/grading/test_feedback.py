"""The feedback page: what it says, of what, and to whom."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from accounts.models import AuditEntry
from grading.models import Marking
from tests.grading.feedback import (
    CONSENT,
    FOOT,
    HANDS,
    LEFT,
    RIGHT,
    comment,
    correct,
    record,
    release_for,
    rubric_of,
)


@pytest.fixture
def read(client_of):
    """The page's words as a person sees them, tags taken out."""

    def words(release, person):
        page = client_of(person).get(release.get_absolute_url()).content.decode()
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())

    return words


@pytest.fixture
def source(client_of):
    """The page's HTML."""

    def fetch(release, person):
        return client_of(person).get(release.get_absolute_url()).content.decode()

    return fetch


@pytest.fixture
def passed(student, cohort, instructor):
    return release_for(student, cohort, instructor)


# What it says


def test_a_pass_says_so_and_why(read, passed, student):
    words = read(passed, student)
    assert "Pass 100.0% · pass mark 75%" in words
    assert "100.0% reaches the pass mark of 75%." in words
    assert "Nothing lost points" in words


def test_the_first_sentence_says_why_it_is_not_yet(read, student, cohort, instructor):
    release = release_for(student, cohort, instructor, {CONSENT: "missed"})
    words = read(release, student)
    first = words.index("Asks permission to examine and to record: missed (0:00).")
    assert words.index("Not yet") < first < words.index("Opening: 33.3% is below")


def test_points_that_would_reach_the_pass_mark_are_said_to(
    read, student, cohort, instructor
):
    release = release_for(
        student,
        cohort,
        instructor,
        more=[("sighting:1", {"rule": "carried-on", "at": 61})],
    )
    words = read(release, student)
    assert "Not yet 100.0% · pass mark 75%" in words
    assert "Your points reach the pass mark." in words


def test_the_range_is_shown_where_the_unseen_could_change_the_result(
    read, student, cohort, instructor
):
    release = release_for(student, cohort, instructor, {FOOT: "unseen"})
    words = read(release, student)
    assert "With all of that missed the result would be 87.5% (pass)" in words
    assert "with all of it done, 100.0% (pass)" in words


def test_without_anything_unseen_no_range_is_shown(read, passed, student):
    assert "could not be seen" not in read(passed, student)


def test_nothing_possible_is_no_percent(read, student, cohort, instructor):
    rubric = rubric_of(1)
    release = release_for(
        student, cohort, instructor, {"s0.e0": "unseen"}, rubric=rubric
    )
    words = read(release, student)
    assert "Cannot be judged no percent · pass mark 50%" in words
    assert "no points counted" in words


def test_what_to_work_on_names_act_cost_moment_and_the_markers_next_step(
    read, student, cohort, instructor
):
    release = release_for(
        student,
        cohort,
        instructor,
        {LEFT: "said", RIGHT: "said"},
        more=[comment("a", "Put your fingers on the wrist.", RIGHT, 3.0)],
    )
    words = read(release, student)
    # The count of pulses stands for both, and says so in the rubric's own words.
    assert "Too few done: At least three of the four pulses." in words
    assert '2 points, and the outcome is "not yet". Watch at 0:02' in words
    assert "The marker says: Put your fingers on the wrist." in words


def test_without_a_next_step_the_rubric_says_what_is_looked_for(
    read, student, cohort, instructor
):
    release = release_for(student, cohort, instructor, {HANDS: "missed"})
    words = read(release, student)
    assert "Looked for: Before the first touch; 20 to 30 s with rub" in words


def test_an_omission_of_the_last_attempt_is_named_as_such(
    read, student, cohort, instructor
):
    first = release_for(student, cohort, instructor, {HANDS: "missed"}, attempts=2)
    again = release_for(
        student,
        cohort,
        instructor,
        {HANDS: "said"},
        assignment=first.assignment,
        submission={"attempt": 2},
    )
    assert "left out in the last attempt too" in read(again, student)
    assert "left out in the last attempt too" not in read(first, student)


def test_every_element_has_state_moment_and_points(source, student, cohort, instructor):
    release = release_for(
        student,
        cohort,
        instructor,
        {LEFT: "partly", FOOT: "unseen", HANDS: "said"},
    )
    rows = {
        key: " ".join(re.sub(r"<[^>]+>", " ", row).split())
        for key, row in re.findall(
            r'<tr id="([^"]+)".*?>(.*?)</tr>', source(release, student), re.DOTALL
        )
    }
    assert rows[CONSENT].startswith("done Asks permission")
    assert rows[CONSENT].endswith("critical Watch at 0:00 2 of 2")
    assert rows[LEFT].endswith("radial pulse, left Watch at 0:02 0.5 of 1")
    assert rows[FOOT].endswith("not counted")
    assert rows[HANDS].startswith("said only")
    assert rows["manner.explains"].startswith("explains every step")
    assert rows["manner.explains"].endswith("no points")
    assert len(rows) == 8


def test_an_excused_element_shows_its_reason(read, student, cohort, instructor):
    release = release_for(
        student,
        cohort,
        instructor,
        more=[
            (
                f"element:{LEFT}",
                {"state": "excused", "reason": "Arm in plaster", "at": None},
            )
        ],
    )
    assert "Reason: Arm in plaster" in read(release, student)


def test_sections_show_points_and_minimum(read, student, cohort, instructor):
    release = release_for(student, cohort, instructor, {CONSENT: "missed"})
    words = read(release, student)
    assert "Opening 1 of 3 points Opening: 1 of 3 points 50%, not reached" in words


def test_a_hazard_shows_every_moment_it_was_seen(read, student, cohort, instructor):
    more = [(f"sighting:{at}", {"rule": "carried-on", "at": at}) for at in (61.0, 75.0)]
    release = release_for(student, cohort, instructor, more=more)
    assert (
        "seen Carries on after the volunteer shows pain or says stop, "
        "which takes back the consent "
        'Watch at 1:01 , Watch at 1:15 the outcome is "not yet"'
    ) in read(release, student)


def test_a_ruling_is_told_with_its_note(read, student, cohort, instructor):
    ruling = {"result": "violated", "note": "Feet at 0:10"}
    release = release_for(
        student, cohort, instructor, more=[("ruling:arms-first", ruling)]
    )
    words = read(release, student)
    assert "out of order Arms before feet (Ruled by the marker: Feet at 0:10)" in words
    assert "5 percentage points are taken off" in words


def test_a_rule_in_doubt_says_what_it_would_do(read, student, cohort, instructor):
    states = {LEFT: "missed", FOOT: "unseen"}
    words = read(release_for(student, cohort, instructor, states), student)
    assert (
        "cannot tell At least three of the four pulses "
        'if not met, the outcome is "not yet"'
    ) in words


def test_what_is_met_is_listed_by_its_word(read, passed, student):
    words = read(passed, student)
    assert "Not seen to happen: 1 Carries on after" in words
    assert "In order: 1 Arms before feet" in words


def test_comments_stand_in_time_order_those_about_the_whole_last(
    source, student, cohort, instructor
):
    release = release_for(
        student,
        cohort,
        instructor,
        more=[
            comment("whole", "Calm throughout.", kind="strength"),
            comment("late", "Say the rate.", "pulses.rate", 90.5),
            comment("early", "Good start.", CONSENT, 2.0, "strength"),
        ],
    )
    listed = source(release, student).split('<ol class="remarks">')[1].split("</ol>")[0]
    order = [listed.index(t) for t in ("Good start.", "Say the rate.", "Calm through")]
    assert order == sorted(order)
    assert 'data-from="90.5"' in listed


def test_what_a_person_wrote_is_shown_and_never_run(
    source, student, cohort, instructor
):
    text = "<img src=x onerror=alert(1)> & more"
    release = release_for(
        student, cohort, instructor, more=[comment("a", text, LEFT, 1.0)]
    )
    shown = source(release, student)
    assert text not in shown
    assert shown.count(escape(text)) == 2


def test_the_result_is_said_to_be_what_it_is(read, passed, student):
    words = read(passed, student)
    assert (
        "This is one recorded examination of one healthy volunteer, seen by one marker."
        in words
    )
    assert "is no clinical guidance" in words


# Of what


def test_the_page_reads_the_release_and_not_the_marking(read, passed, student):
    sheet = Marking.objects.get(pk=passed.marking_id)
    sheet.reopen(by=sheet.marker, reason="Second look")
    record(sheet, (f"element:{CONSENT}", {"state": "missed", "at": 1.0}))
    assert "Pass 100.0%" in read(passed, student)


def test_a_correction_says_what_changed_why_and_what_stood_before(
    read, source, passed, student
):
    new = correct(
        passed,
        (f"element:{HANDS}", {"state": "missed", "at": 1.0}),
        reason="The rub is not in view.",
    )
    words = read(new, student)
    assert 'which was "pass", 100.0%. Reason: The rub is not in view.' in words
    assert "Cleans hands in view: done, now missed" in words
    assert passed.get_absolute_url() in source(new, student)


def test_a_replaced_release_leads_to_the_one_that_counts(source, passed, student):
    new = correct(passed, (f"element:{HANDS}", {"state": "missed", "at": 1.0}))
    shown = source(passed, student)
    assert "This result was corrected on" in shown
    assert new.get_absolute_url() in shown


def test_a_correction_of_comments_alone_says_that_no_state_changed(
    read, passed, student
):
    new = correct(passed, comment("a", "Speak up."))
    assert "No element has another state than before." in read(new, student)


# To whom


@pytest.mark.parametrize("reader", ["student", "instructor", "lead"])
def test_student_marker_and_lead_read_it(request, client_of, passed, reader):
    person = request.getfixturevalue(reader)
    assert client_of(person).get(passed.get_absolute_url()).status_code == 200


@pytest.mark.parametrize(
    "reader", ["classmate", "other_instructor", "administrator", "stranger"]
)
@pytest.mark.parametrize("name", ["feedback", "feedback_pdf", "feedback_comments"])
def test_to_anybody_else_it_does_not_exist(request, client_of, passed, reader, name):
    person = request.getfixturevalue(reader)
    address = reverse(f"grading:{name}", args=[passed.pk])
    assert client_of(person).get(address).status_code == 404


def test_a_student_without_a_role_in_the_course_is_refused(client_of, passed, student):
    student.memberships.all().delete()
    assert client_of(student).get(passed.get_absolute_url()).status_code == 403


def test_markers_are_named_only_where_the_assignment_says_so(
    read, passed, student, instructor
):
    assert "marked by one instructor" in read(passed, student)
    passed.assignment.markers_shown = True
    passed.assignment.save(update_fields=["markers_shown"])
    assert f"marked by {instructor.name}" in read(passed, student)


def test_a_hidden_name_is_hidden_from_the_marker_and_known_to_the_lead(
    read, passed, instructor, lead, student
):
    assert student.name not in read(passed, instructor)
    assert f"Submission {passed.submission.number}" in read(passed, instructor)
    assert f"Feedback: {student.name}" in read(passed, lead)


def test_reading_is_kept_in_the_audit(client_of, passed, lead):
    client_of(lead).get(passed.get_absolute_url())
    entry = AuditEntry.objects.latest("number")
    assert (entry.actor, entry.verb) == (lead, AuditEntry.Verb.SAW)
    assert entry.about == f"release {passed.pk}"


def test_a_refused_reader_leaves_no_trace_of_having_read(client_of, passed, classmate):
    before = AuditEntry.objects.count()
    client_of(classmate).get(passed.get_absolute_url())
    assert AuditEntry.objects.count() == before


# What may be done next


def test_the_student_may_hand_in_again_while_an_attempt_is_left(
    source, student, cohort, instructor
):
    release = release_for(student, cohort, instructor, attempts=2)
    link = reverse("grading:hand_in", args=[release.assignment_id])
    assert link in source(release, student)
    assert link not in source(release, instructor)


@pytest.mark.parametrize(
    "assignment",
    [
        {"attempts": 1},
        {
            "attempts": 2,
            "late": "refused",
            "due_at": timezone.now() - timedelta(hours=1),
        },
    ],
)
def test_no_further_attempt_is_offered_that_would_be_refused(
    source, student, cohort, instructor, assignment
):
    release = release_for(student, cohort, instructor, **assignment)
    link = reverse("grading:hand_in", args=[release.assignment_id])
    assert link not in source(release, student)


# The recording


def test_a_file_plays_here_and_its_moments_jump(source, passed, student):
    shown = source(passed, student)
    assert '<video controls playsinline preload="metadata"' in shown
    assert 'href="/static/demo/recording.webm#t=2" data-at="2"' in shown


def test_elsewhere_a_moment_opens_the_link_at_its_time_and_shows_it(
    source, student, cohort, instructor
):
    link = "https://video.example/watch?v=1"
    release = release_for(
        student,
        cohort,
        instructor,
        more=[comment("a", "Slower.", LEFT, 61.5)],
        submission={"link": link},
    )
    shown = source(release, student)
    assert "recording-player" not in shown.split("<main")[1]
    assert f'href="{link}#t=61.5"' in shown
    assert '<copy-time data-time="1:01" hidden>' in shown


@pytest.mark.parametrize(
    ("link", "directive"),
    [
        ("https://media.example/one.mp4", "media-src 'self' https://media.example"),
        ("https://frames.example/v/7", "frame-src https://frames.example"),
        ("https://elsewhere.example/7", "media-src 'self'"),
    ],
)
def test_only_the_recordings_own_host_is_let_into_the_page(
    settings, client_of, student, cohort, instructor, link, directive
):
    settings.RECORDING_HOSTS = [
        {
            "name": "frames",
            "pattern": r"https://frames\.example/v/(?P<id>\d+)",
            "plays": "frame",
            "address": "https://frames.example/embed/{id}",
            "messages": {"preset": "player.js"},
        }
    ]
    release = release_for(student, cohort, instructor, submission={"link": link})
    response = client_of(student).get(release.get_absolute_url())
    policy = [p.strip() for p in response.headers["Content-Security-Policy"].split(";")]
    assert directive in policy
    assert sum("example" in part for part in policy) == ("example" in directive)


@pytest.mark.parametrize(("due_in", "says"), [(1, " (until "), (-1, ", late")])
def test_another_attempt_says_until_when_or_that_it_is_late(
    read, student, cohort, instructor, due_in, says
):
    due = timezone.now() + timedelta(hours=due_in)
    release = release_for(student, cohort, instructor, attempts=2, due_at=due)
    assert f"Hand in another attempt{says}" in read(release, student)


# Cost


@pytest.mark.parametrize("name", ["feedback", "feedback_pdf", "feedback_comments"])
def test_as_many_queries_for_a_hundred_and_twenty_elements_as_for_ten(
    client_of, student, cohort, instructor, name
):
    counts = []
    for elements in (10, 120):
        release = release_for(
            student,
            cohort,
            instructor,
            rubric=rubric_of(elements),
            more=[comment(f"c{n}", "Slower.", f"s0.e{n}", 1.0) for n in range(9)],
        )
        reader = client_of(student)
        with CaptureQueriesContext(connection) as queries:
            reader.get(reverse(f"grading:{name}", args=[release.pk]))
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 12
