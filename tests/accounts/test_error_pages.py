"""When something goes wrong, the page says what to do, in the site's look."""

import pytest
from django.core.exceptions import BadRequest
from django.views import defaults

from tests.pages import check_page


def test_an_address_that_is_none_says_so(client, db):
    answer = client.get("/nothing/")

    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


def test_a_stale_form_says_how_to_go_on(client_of, student):
    answer = client_of(student, enforce_csrf_checks=True).post("/sign-out/")

    assert answer.status_code == 403
    assert "This form has gone stale" in answer.content.decode()


@pytest.mark.parametrize(
    ("status", "words"),
    [(500, "Something went wrong here"), (400, "could not be read")],
)
def test_the_pages_of_last_resort_need_neither_store_nor_session(status, words, rf):
    request = rf.get("/")
    if status == 500:
        answer = defaults.server_error(request)
    else:
        answer = defaults.bad_request(request, BadRequest())

    text = answer.content.decode()
    assert answer.status_code == status
    assert words in text
    assert check_page(text) == []
