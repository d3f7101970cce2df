"""Every address of the site x every kind of person x GET and POST: who gets what.

A new address without a row here fails. The world is one course: `student` handed in two
recordings, `instructor` released the first and is marking the second, in which a hazard
awaits a second person's word; `lead` leads, `other_instructor` marks in another course.
"""

import pytest
from django.db import transaction
from django.urls import URLPattern, get_resolver, reverse

from accounts.models import Invitation
from tests import factories

PEOPLE = (
    "nobody",  # signed out
    "stranger",
    "classmate",
    "student",
    "other_instructor",
    "instructor",
    "colleague",
    "lead",
    "administrator",
)

# 302 away from a page: to the sign-in page, or on to the next one after an act.
# 404: not theirs to see. 403: theirs to see, not to do. 422, 400, 409: let in, and told
# what is wrong with the empty form that was sent.
#
# address, what stands in its path, method, and the answer to
#                                                     nobody  classmate  other  colleague administrator
#                                                         stranger   student    instructor lead
TABLE = """
grading:home                         -          GET  302 200 200 200 200 200 200 200 200
grading:assignments                  course     GET  302 404 403 403 404 403 403 200 403
grading:assignment_new               cohort     GET  302 404 403 403 404 403 403 200 403
grading:assignment_new               cohort     POST 302 404 403 403 404 403 403 200 403
grading:assignment                   assignment GET  302 404 403 403 404 200 200 200 404
grading:hand_in                      assignment GET  302 404 200 200 404 403 403 403 404
grading:hand_in                      assignment POST 302 404 200 200 404 403 403 403 404
grading:submission                   submission GET  302 404 404 200 404 200 404 200 404
grading:cohort                       cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_element               element    GET  302 404 403 403 404 403 403 200 403
grading:cohort_csv                   cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_attempts              cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_attempts_csv          cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_charts                cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_charts_csv            cohort     GET  302 404 403 403 404 403 403 200 403
grading:cohort_marks_csv             cohort     GET  302 404 403 403 404 403 403 200 403
grading:hazards                      -          GET  302 403 403 403 200 200 200 200 403
grading:hazard_word                  sighting   POST 302 404 404 404 404 404 302 302 404
grading:desk                         marking    GET  302 404 404 404 404 200 404 200 404
grading:desk_save                    marking    POST 302 404 404 404 404 400 404 400 404
grading:desk_state                   marking    GET  302 404 404 404 404 200 404 200 404
grading:desk_captions                marking    GET  302 404 404 404 404 200 404 200 404
grading:desk_release                 marking    GET  302 404 404 404 404 200 404 200 404
grading:desk_release                 marking    POST 302 404 404 404 404 422 404 422 404
grading:reopen                       marking    POST 302 404 404 404 404 422 404 422 404
grading:feedback                     release    GET  302 404 404 200 404 200 404 200 404
grading:feedback_pdf                 release    GET  302 404 404 200 404 200 404 200 404
grading:feedback_comments            release    GET  302 404 404 200 404 200 404 200 404
grading:feedback_captions            release    GET  302 404 404 200 404 200 404 200 404
rubric:list                          -          GET  302 403 403 403 200 200 200 200 403
rubric:import                        -          GET  302 403 403 403 200 200 200 200 403
rubric:import                        -          POST 302 403 403 403 200 200 200 200 403
rubric:library                       -          GET  302 403 403 403 200 200 200 200 403
rubric:copy                          -          POST 302 403 403 403 422 422 422 422 403
rubric:starter                       starter    GET  302 403 403 403 200 200 200 200 403
rubric:export                        draft-file GET  302 404 404 404 404 200 200 200 404
rubric:export_edition                file       GET  302 404 404 404 404 200 200 200 404
rubric:new                           -          POST 302 403 403 403 422 422 422 422 403
rubric:changes                       rubric     GET  302 404 404 404 404 200 200 200 404
rubric:changes                       rubric     POST 302 404 404 404 404 422 422 422 404
rubric:paste                         rubric     POST 302 404 404 404 404 422 422 422 404
rubric:rubric                        rubric     GET  302 404 404 404 404 200 200 200 404
rubric:publish                       rubric     GET  302 404 404 404 404 200 200 200 404
rubric:publish                       rubric     POST 302 404 404 404 404 409 409 409 404
rubric:compare                       rubric     GET  302 404 404 404 404 200 200 200 404
rubric:edition                       edition    GET  302 404 404 404 404 200 200 200 404
rubric:edition_delete                edition    POST 302 404 404 404 404 409 409 409 404
accounts:courses                     -          GET  302 403 403 403 403 403 403 200 200
accounts:courses                     -          POST 302 403 403 403 403 403 403 403 200
accounts:people                      course     GET  302 404 403 403 404 403 403 200 200
accounts:cohort_open                 course     GET  302 404 403 403 404 403 403 403 200
accounts:cohort_open                 course     POST 302 404 403 403 404 403 403 403 200
accounts:invite                      course     GET  302 404 403 403 404 403 403 200 200
accounts:invite                      course     POST 302 404 403 403 404 403 403 200 200
accounts:invite_again                invitation POST 302 404 403 403 404 403 403 302 302
accounts:invitation_withdraw         invitation POST 302 404 403 403 404 403 403 302 302
accounts:person                      person     GET  302 404 403 403 404 403 403 200 200
accounts:person                      person     POST 302 404 403 403 404 403 403 200 200
accounts:role_take                   membership POST 302 404 403 403 404 403 403 302 302
accounts:join                        token      GET  200 403 403 403 403 403 403 403 403
accounts:join                        token      POST 200 403 403 403 403 403 403 403 403
accounts:audit                       -          GET  302 403 403 403 403 403 403 200 200
account_login                        -          GET  200 302 302 302 302 302 302 302 302
account_login                        -          POST 200 302 302 302 302 302 302 302 302
account_inactive                     -          GET  200 200 200 200 200 200 200 200 200
account_logout                       -          GET  302 200 200 200 200 200 200 200 200
account_logout                       -          POST 302 302 302 302 302 302 302 302 302
account_change_password              -          GET  302 200 200 200 200 200 200 200 200
account_change_password              -          POST 302 200 200 200 200 200 200 200 200
account_reset_password               -          GET  200 200 200 200 200 200 200 200 200
account_reset_password               -          POST 200 200 200 200 200 200 200 200 200
account_reset_password_done          -          GET  200 200 200 200 200 200 200 200 200
account_reset_password_from_key      key        GET  200 200 200 200 200 200 200 200 200
account_reset_password_from_key      key        POST 200 200 200 200 200 200 200 200 200
account_reset_password_from_key_done -          GET  200 200 200 200 200 200 200 200 200
"""


def _read(table):
    for line in table.strip().splitlines():
        name, place, method, *answers = line.split()
        assert len(answers) == len(PEOPLE), line
        for person, answer in zip(PEOPLE, answers, strict=True):
            yield (name, method, person), (place, int(answer))


ROWS = dict(_read(TABLE))
PLACES = {name: place for (name, *_), (place, _) in ROWS.items()}


def addresses(resolver=None, space=""):
    """Every url name of the site."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLPattern):
            yield space + (pattern.name or str(pattern.pattern))
        else:
            inner = f"{pattern.namespace}:" if pattern.namespace else ""
            yield from addresses(pattern, space + inner)


@pytest.fixture
def colleague(course):
    """Marks in the course too, but not these recordings."""
    return factories.MembershipFactory(
        course=course, role="instructor", cohort=None
    ).user


@pytest.fixture
def world(course, cohort, student, instructor, lead):
    """What each address needs in its path."""
    assignment = factories.AssignmentFactory(
        cohort=cohort, markers=[instructor], hazards_confirmed_by="second"
    )
    first, second = (
        factories.SubmissionFactory(
            assignment=assignment,
            student=student,
            attempt=n,
            number=n,
            captions="WEBVTT",
        )
        for n in (1, 2)
    )
    release = factories.released(
        factories.MarkingFactory(submission=first, marker=instructor)
    )
    marking = factories.MarkingFactory(submission=second, marker=instructor)
    factories.mark_all(marking)
    sighting = {"rule": "carried-on", "at": 61}
    marking.record([factories.change(marking, "sighting:s1", sighting)], by=instructor)
    invitation, token = Invitation.invite(
        by=lead, course=course, role="lead", email="ada@b.example"
    )
    edition = assignment.edition
    return {
        "course": [course.pk],
        "cohort": [cohort.pk],
        "assignment": [assignment.pk],
        "submission": [second.pk],
        "marking": [marking.pk],
        "release": [release.pk],
        "rubric": [edition.rubric_id],
        "draft-file": [edition.rubric_id, "yaml"],
        "file": [edition.pk, "json"],
        "starter": ["pulse-check"],
        "edition": [edition.pk],
        "element": [cohort.pk, "opening.hygiene"],
        "sighting": [marking.pk, "s1"],
        "invitation": [course.pk, invitation.pk],
        "person": [course.pk, student.pk],
        "membership": [course.pk, student.memberships.get().pk],
        "token": [token],
        "key": ["1", "set-password"],
        "-": [],
    }


def test_every_address_has_a_row():
    assert set(PLACES) == set(addresses())


@pytest.mark.parametrize("who", PEOPLE)
def test_each_person_gets_what_the_table_says(who, request, world, client_of):
    """A method without a row is refused to everybody who has signed in."""
    person = None if who == "nobody" else request.getfixturevalue(who)
    wanted, given = {}, {}
    for name, place in PLACES.items():
        for method in ("GET", "POST"):
            row = (name, method, who)
            if person or row in ROWS:
                wanted[row] = ROWS.get(row, (place, 405))[1]
                given[row] = ask(
                    client_of(person), method, reverse(name, args=world[place])
                )
    assert given == wanted


def ask(client, method, path):
    """The answer's status; what the request did to the store is taken back."""
    with transaction.atomic():
        status = client.generic(method, path).status_code
        transaction.set_rollback(True)
    return status


def test_a_fetch_without_a_session_is_told_so_and_not_sent_away(client, world):
    path = reverse("grading:desk_save", args=world["marking"])

    answer = client.post(path, headers={"accept": "application/json"})

    assert (answer.status_code, answer.json()) == (401, {"error": "signed out"})
