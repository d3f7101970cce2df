"""Saving in the builder: the network away and back, two people on one draft."""

import pytest
from playwright.sync_api import expect

from tests.browser.builder import saved, type_in

OTHER = {"name": "Ivo Pell", "role": "instructor"}


@pytest.fixture
def two(open_rubric):
    """Two people's pages of one draft."""
    mine = open_rubric("pulse-check.yaml")
    theirs = open_rubric(rubric=mine.made, **OTHER)
    return mine, theirs


def text_of(page, n):
    return page.get_by_label("Text of the element").nth(n)


def texts(site, page):
    sections = site.make.rubric_file(pk=page.rubric)["sections"]
    return [part["text"] for section in sections for part in section["parts"]]


def test_what_is_typed_without_a_network_waits_and_is_sent_later(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    page.context.set_offline(True)
    text_of(page, 0).fill("Asks first")
    text_of(page, 1).fill("Washes both hands")
    line = page.locator("saving-line")
    expect(line).to_have_text("2 changes wait for the network")
    assert "Asks first" not in texts(site, page)
    page.context.set_offline(False)
    saved(page)
    assert {"Asks first", "Washes both hands"} < set(texts(site, page))


def test_what_waits_outlives_the_page(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    page.route("**/changes/**", lambda route: route.abort())
    text_of(page, 0).fill("Asks first")
    expect(page.locator("saving-line")).to_contain_text("1 change waits")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.reload()
    assert asked == ["beforeunload"]
    expect(text_of(page, 0)).to_have_value("Asks first")
    page.unroute("**/changes/**")
    saved(page)
    assert "Asks first" in texts(site, page)


def test_an_ended_session_keeps_what_is_typed_and_says_so(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    site.make.sign_everybody_out()
    text_of(page, 0).fill("Asks first")
    line = page.locator("saving-line")
    expect(line).to_have_text("you are signed out, 1 change waits: sign in")
    session = site.make.session(name="Lena Voss", role="lead")["session"]
    page.context.add_cookies(
        [{"name": "sessionid", "value": session, "url": site.address}]
    )
    saved(page)
    assert "Asks first" in texts(site, page)


def test_two_people_on_different_elements_see_each_others_words(two, site):
    mine, theirs = two
    text_of(mine, 0).fill("Mine")
    text_of(theirs, 1).fill("Theirs")
    expect(text_of(theirs, 0)).to_have_value("Mine")
    expect(text_of(mine, 1)).to_have_value("Theirs")
    expect(mine.locator("[data-say]")).to_contain_text("Ivo Pell changed “Theirs”")
    assert {"Mine", "Theirs"} < set(texts(site, mine))


@pytest.mark.parametrize(
    ("choice", "stands"), [("Take yours", "Mine"), ("Take Ivo Pell’s", "Theirs")]
)
def test_two_people_in_one_field_are_both_shown_and_one_chooses(
    two, site, choice, stands
):
    mine, theirs = two
    mine.context.set_offline(True)
    text_of(mine, 0).fill("Mine")
    text_of(theirs, 0).fill("Theirs")
    saved(theirs)
    mine.context.set_offline(False)
    clash = mine.locator("clash-list")
    expect(clash.get_by_role("row", name="text Mine Theirs")).to_be_visible()
    clash.get_by_role("button", name=choice).click()
    expect(clash).to_be_hidden()
    expect(text_of(mine, 0)).to_have_value(stands)
    saved(mine)
    assert stands in texts(site, mine)


def test_a_removal_of_what_another_changed_is_asked_about(two, site):
    mine, theirs = two
    mine.context.set_offline(True)
    text_of(mine, 0).focus()
    type_in(mine, "<Alt+Delete>")
    text_of(theirs, 0).fill("Theirs")
    saved(theirs)
    mine.context.set_offline(False)
    mine.get_by_role("button", name="Keep it").click()
    expect(text_of(mine, 0)).to_have_value("Theirs")
    assert "Theirs" in texts(site, mine)


def test_a_removed_element_comes_back_into_its_own_section(two, site):
    mine, theirs = two
    mine.context.set_offline(True)
    text_of(mine, 0).fill("Mine")
    text_of(theirs, 0).focus()
    type_in(theirs, "<Alt+Delete>")
    saved(theirs)
    mine.context.set_offline(False)
    mine.get_by_role("button", name="Bring it back with this").click()
    saved(mine)
    first = site.make.rubric_file(pk=mine.rubric)["sections"][0]
    assert "Mine" in [part["text"] for part in first["parts"]]
