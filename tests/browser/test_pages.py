"""Every page of the site as everybody who meets it, in a real browser.

Each person walks the links from home, so a page that no link leads to fails, and so does
a page without a row here.
"""

from urllib.parse import urlsplit

import pytest
from django.template.loader import render_to_string
from django.urls import Resolver404, resolve

from tests.browser.look import Look
from tests.project.test_access import addresses

PEOPLE = {
    "student": "hannah.winterbottle@demo.invalid",
    "instructor": "tobias.kestenholm@demo.invalid",
    "lead": "marit.egede@demo.invalid",
    "administrator": "odalys.brennick@demo.invalid",
}
# Each page, and as whom it is looked at.
PAGES = {
    "grading:home": "student instructor lead administrator",
    "grading:assignments": "lead",
    "grading:assignment_new": "lead",
    "grading:assignment": "instructor lead",
    "grading:hand_in": "student",
    "grading:submission": "student",
    "grading:cohort": "lead",
    "grading:cohort_element": "lead",
    "grading:cohort_attempts": "lead",
    "grading:cohort_charts": "lead",
    "grading:hazards": "instructor",
    "grading:desk": "instructor",
    "grading:desk_release": "instructor",
    "grading:feedback": "student",
    "rubric:list": "instructor",
    "rubric:import": "instructor",
    "rubric:library": "instructor",
    "rubric:starter": "instructor",
    "rubric:rubric": "instructor",
    "rubric:edition": "instructor",
    "rubric:publish": "instructor",
    "rubric:compare": "instructor",
    "accounts:courses": "lead administrator",
    "accounts:people": "lead administrator",
    "accounts:cohort_open": "administrator",
    "accounts:invite": "lead",
    "accounts:person": "lead",
    "accounts:audit": "lead",
    "account_change_password": "student",
    "account_logout": "student",
    "account_login": "nobody",
    "account_reset_password": "nobody",
    # Where no link leads: see `WAYS_IN` and the mails.
    "account_inactive": "nobody",
    "account_reset_password_done": "nobody",
    "account_reset_password_from_key": "nobody",
    "account_reset_password_from_key_done": "nobody",
    "accounts:join": "nobody",
}
WAYS_IN = {
    "account_inactive": "/sign-in/closed/",
    "account_reset_password_done": "/password/forgotten/sent/",
    "account_reset_password_from_key_done": "/password/new/set/",
}
# Acts, files, and what scripts read.
NO_PAGES = {
    "grading:hazard_word",
    "grading:desk_save",
    "grading:desk_state",
    "grading:desk_captions",
    "grading:reopen",
    "grading:feedback_pdf",
    "grading:feedback_comments",
    "grading:feedback_captions",
    "grading:cohort_csv",
    "grading:cohort_attempts_csv",
    "grading:cohort_charts_csv",
    "grading:cohort_marks_csv",
    "rubric:new",
    "rubric:changes",
    "rubric:paste",
    "rubric:edition_delete",
    "rubric:copy",
    "rubric:export",
    "rubric:export_edition",
    "accounts:invite_again",
    "accounts:invitation_withdraw",
    "accounts:role_take",
}


@pytest.fixture(scope="module")
def look(demo, browser, request):
    look = Look(demo, browser)
    yield look
    capture = request.config.pluginmanager.getplugin("capturemanager")
    with capture.global_and_fixture_disabled():
        print("\n" + look.table())  # noqa: T201 (what the tests show)


def test_every_address_is_a_page_with_a_row_or_none():
    assert set(addresses()) == PAGES.keys() | NO_PAGES


@pytest.mark.parametrize("who", [*PEOPLE, "nobody"])
def test_every_page_is_reached_fits_every_width_and_is_clean_in_both_themes(
    who, demo, look
):
    page = look.open_as(PEOPLE.get(who))
    mine = {name for name, people in PAGES.items() if who in people.split()}
    todo = ["/"]
    if who == "nobody":
        todo += WAYS_IN.values()
        todo += demo.make.ways_in(email=PEOPLE["lead"]).values()
    met, faults = set(), []
    while todo:
        path = todo.pop(0)
        name = name_of(path)
        if name in mine - met or path == "/":
            look.go(page, demo.address + path)
            name = name_of(page.url)
            met.add(name)
            faults += look.faults(page, f"{name} as {who}")
            todo += links(page)
    assert not faults, "\n".join(faults)
    assert met == mine


@pytest.mark.parametrize("name", ["400", "403", "403_csrf", "404", "429", "500"])
def test_the_pages_that_say_what_went_wrong_are_as_good(name, demo, look):
    page = look.open_as(None)
    said = render_to_string(f"{name}.html")
    page.route(
        "**/wrong/",
        lambda route: route.fulfill(body=said, content_type="text/html; charset=utf-8"),
    )
    look.go(page, f"{demo.address}/wrong/")

    assert look.faults(page, name) == []


def name_of(address):
    try:
        return resolve(urlsplit(address).path).view_name
    except Resolver404:
        return None


def links(page):
    """Where the page's links lead on this site, in their order."""
    found = page.eval_on_selector_all("a[href]", "all => all.map(a => a.href)")
    here = urlsplit(page.url).netloc
    parts = [urlsplit(link) for link in found]
    return [f"{p.path}?{p.query}" for p in parts if p.netloc == here]
