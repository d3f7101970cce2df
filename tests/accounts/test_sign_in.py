"""Signing in and out, and passwords, through the pages."""

import re
import unicodedata

import pytest
from django.contrib.auth.hashers import identify_hasher
from django.core import mail
from django.urls import NoReverseMatch, reverse

from accounts.models import AuditEntry, User
from tests.factories import PASSWORD

NEW = "seven grey herons wade"


@pytest.fixture
def limits(settings):
    """Rate limits count in tests only where a test asks for them."""
    settings.CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
            "LOCATION": "limits",
        }
    }
    from django.core.cache import cache

    cache.clear()


def sign_in(client, email, password=PASSWORD, **more):
    return client.post("/sign-in/", {"login": email, "password": password, **more})


def is_signed_in(client):
    return "_auth_user_id" in client.session


def test_a_person_signs_in_and_it_is_kept(client, student):
    answer = sign_in(client, "Sana@School.example")

    assert (answer.status_code, answer.url) == (302, "/")
    entry = AuditEntry.objects.get()
    assert (entry.actor, entry.verb) == (student, "signed in")


def test_a_wrong_password_is_said_without_saying_which_part_is_wrong(client, student):
    wrong = sign_in(client, student.email, "not the lantern at all")
    unknown = sign_in(client, "nobody@school.example")

    for answer in (wrong, unknown):
        assert "do not belong together" in answer.content.decode()
    assert not is_signed_in(client)


def test_sign_in_returns_to_the_page_asked_for_but_never_to_another_site(
    client, client_of, student
):
    assert sign_in(client, student.email, next="/courses/").url == "/courses/"
    other = sign_in(client_of(None), student.email, next="https://evil.example/")
    assert other.url == "/"


def test_a_closed_sign_in_is_told_so(client, student):
    student.is_active = False
    student.save(update_fields=["is_active"])

    answer = client.post(
        "/sign-in/", {"login": student.email, "password": PASSWORD}, follow=True
    )

    assert "This sign-in is closed" in answer.content.decode()
    assert not is_signed_in(client)


def test_the_sixth_guess_is_refused_even_when_right(client, student, limits):
    for _ in range(5):
        sign_in(client, student.email, "not the lantern at all")

    answer = sign_in(client, student.email)

    assert "Wait five minutes" in answer.content.decode()
    assert not is_signed_in(client)


def test_too_many_requests_get_a_page_that_says_what_to_do(client, limits, db):
    for _ in range(20):
        client.post("/password/forgotten/", {"email": "a@school.example"})

    answer = client.post("/password/forgotten/", {"email": "b@school.example"})

    assert answer.status_code == 429
    assert "Wait a few minutes" in answer.content.decode()


def test_passwords_are_hashed_with_argon2(settings, db):
    from accounts.site import settings as own

    settings.PASSWORD_HASHERS = own.PASSWORD_HASHERS
    user = User.objects.create_user("a@school.example", PASSWORD, name="A")

    assert identify_hasher(user.password).algorithm == "argon2"
    assert user.check_password(PASSWORD)


def test_a_password_is_the_same_from_every_keyboard(client, student):
    password = "café über señor naïve"
    student.set_password(unicodedata.normalize("NFD", password))
    student.save(update_fields=["password"])

    sign_in(client, student.email, unicodedata.normalize("NFC", password))

    assert is_signed_in(client)


def test_a_forgotten_password_is_set_anew_by_mail_once(client, student):
    client.post("/password/forgotten/", {"email": student.email})
    link = re.search(r"http://testserver(/password/new/\S+)", mail.outbox[0].body)[1]

    form = client.get(link, follow=True)
    address = form.redirect_chain[-1][0]
    client.post(address, {"password1": NEW})
    sign_in(client, student.email, NEW)

    assert is_signed_in(client)
    again = client.get(link, follow=True).content.decode()
    assert "This link no longer works" in again


def test_an_unknown_address_gets_the_same_answer_and_no_mail(client, db):
    answer = client.post("/password/forgotten/", {"email": "x@school.example"})

    assert answer.url == reverse("account_reset_password_done")
    assert client.get(answer.url).status_code == 200
    assert mail.outbox == []


def test_changing_a_password_keeps_this_session_tells_by_mail_and_is_kept(
    client_of, student
):
    client = client_of(student)

    client.post("/password/", {"oldpassword": PASSWORD, "password1": NEW})

    assert is_signed_in(client)
    assert "was changed" in mail.outbox[0].body
    assert AuditEntry.objects.get().verb == "set password"
    student.refresh_from_db()
    assert student.check_password(NEW)


def test_a_weak_new_password_is_refused_with_the_reason(client_of, student):
    form = {"oldpassword": PASSWORD, "password1": "short"}

    answer = client_of(student).post("/password/", form)

    assert "at least 15 characters" in answer.content.decode()
    student.refresh_from_db()
    assert student.check_password(PASSWORD)


def test_sign_out_asks_first_and_has_a_place_for_unsent_changes(client_of, student):
    client = client_of(student)

    page = client.get("/sign-out/").content.decode()
    assert "<sign-out-check" in page
    assert is_signed_in(client)

    client.post("/sign-out/")
    assert not is_signed_in(client)


@pytest.mark.parametrize(
    "name", ["signup", "email", "set_password", "request_login_code"]
)
def test_pages_that_nobody_needs_are_not_mounted(name):
    with pytest.raises(NoReverseMatch):
        reverse(f"account_{name}")
