import re
from datetime import timedelta

import pytest
from django.core import mail
from django.db import IntegrityError
from django.utils import timezone

from accounts.models import AuditEntry, Invitation, InvitationClosedError, User

FORM = {"name": "Ada Park", "password": "seven grey herons wade"}


@pytest.fixture
def invited(course, cohort, lead):
    """Makes an invitation; returns it and the path of its page."""

    def make(email="ada@b.example", role="student", cohort=cohort):
        invitation, token = Invitation.invite(
            by=lead, course=course, cohort=cohort, role=role, email=email, name="Ada"
        )
        return invitation, f"/join/{token}/"

    return make


def test_a_newcomer_joins_with_a_name_and_a_password(client, invited, course, cohort):
    _, path = invited()
    assert "Join Health assessment" in client.get(path).content.decode()

    answer = client.post(path, FORM)

    ada = User.objects.get(email="ada@b.example")
    assert (answer.status_code, answer.url) == (302, "/")
    assert client.session["_auth_user_id"] == str(ada.pk)
    assert [(m.role, m.course, m.cohort) for m in ada.memberships.all()] == [
        ("student", course, cohort)
    ]
    assert [(e.actor, e.verb) for e in AuditEntry.objects.filter(actor=ada)] == [
        (ada, "joined"),
        (ada, "signed in"),
    ]


def test_an_invitation_works_once(client_of, invited):
    _, path = invited()
    client_of(None).post(path, FORM)

    answer = client_of(None).post(path, FORM | {"name": "Another"})

    assert answer.status_code == 410
    assert "an invitation works once" in answer.content.decode()
    assert User.objects.get(email="ada@b.example").name == "Ada Park"


def test_two_who_use_it_at_once_do_not_both_join(invited, stranger, classmate):
    invitation, _ = invited()
    same = Invitation.objects.get(pk=invitation.pk)
    invitation.join(stranger)

    with pytest.raises(InvitationClosedError):
        same.join(classmate)


def test_an_invitation_ends_after_seven_days(client, invited):
    invitation, path = invited()
    left = invitation.expires_at - timezone.now()
    assert timedelta(days=6, hours=23) < left <= timedelta(days=7)

    Invitation.objects.update(expires_at=timezone.now())

    answer = client.post(path, FORM)
    assert answer.status_code == 410
    assert "ask Lena Voss" in answer.content.decode()
    assert not User.objects.filter(email="ada@b.example").exists()


def test_nobody_joins_after_the_last_day(invited, stranger):
    invitation, _ = invited()
    Invitation.objects.update(expires_at=timezone.now())

    with pytest.raises(InvitationClosedError):
        invitation.join(stranger)


def test_an_unknown_token_says_what_to_do(client, db):
    answer = client.get("/join/abc/")

    assert answer.status_code == 404
    assert "copy the whole of it" in answer.content.decode()


def test_the_store_keeps_no_token(invited):
    invitation, path = invited()
    kept = " ".join(str(value) for value in vars(invitation).values())

    assert path.split("/")[2] not in kept


def test_a_person_with_a_sign_in_signs_in_and_then_just_joins(
    client, client_of, invited, stranger, course
):
    _, path = invited(stranger.email, role="instructor", cohort=None)
    assert f"/sign-in/?next={path}" in client.get(path).content.decode()

    client = client_of(stranger)
    assert client.get(path).status_code == 200
    client.post(path)

    assert stranger.memberships.get(course=course).role == "instructor"


def test_nobody_joins_with_somebody_elses_invitation(client_of, invited, stranger):
    _, path = invited()

    answer = client_of(stranger).post(path)

    assert answer.status_code == 403
    assert not stranger.memberships.exists()


def test_a_weak_password_is_refused_and_the_invitation_stays_open(client, invited):
    invitation, path = invited()

    answer = client.post(path, FORM | {"password": "ada@b.example ada"})

    assert "too similar to the email" in answer.content.decode()
    invitation.refresh_from_db()
    assert invitation.is_open


def test_a_taken_address_cannot_be_joined_as_new(invited, student):
    invitation, _ = invited(student.email)

    with pytest.raises(IntegrityError):
        invitation.join_as_new(**FORM)


def test_the_mail_holds_the_link_that_opens_the_page(client, client_of, lead, course):
    client_of(lead).post(
        f"/courses/{course.pk}/invite/",
        {"role": "instructor", "people": "Ada Park, ada@b.example"},
    )
    link = re.search(r"http://testserver(/join/\S+)", mail.outbox[0].body)[1]

    assert client.get(link).status_code == 200
