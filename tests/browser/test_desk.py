"""The desk by keyboard alone, and what must hold whatever happens around it."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import sideways, until


@pytest.fixture
def marking(site):
    return site.make.marking()


@pytest.fixture
def desk(open_as, marking):
    page = open_as(marking["desk"])
    expect(in_focus(page)).to_have_attribute("data-target", "element:opening.consent")
    return page


def in_focus(page):
    return page.locator('.element[aria-expanded="true"]')


def press(page, keys):
    for key in keys.split():
        page.keyboard.press({"space": " "}.get(key, key))


def saved(page):
    expect(page.locator("saving-state")).to_contain_text("all changes saved")


def states(site, marking):
    targets = site.make.kept(pk=marking["pk"])["targets"]
    return {
        target.removeprefix("element:"): entry["value"] and entry["value"].get("state")
        for target, entry in targets.items()
        if target.startswith("element:")
    }


def test_a_whole_sheet_is_marked_and_released_by_keyboard_alone(desk, site, marking):
    press(desk, "d p d s m n d 3")
    expect(in_focus(desk)).to_have_attribute("data-target", "rating")
    press(desk, "3")
    saved(desk)
    assert states(site, marking) == {
        "opening.consent": "done",
        "opening.hygiene": "partly",
        "pulses.palpate.radial.left": "done",
        "pulses.palpate.radial.right": "said",
        "pulses.palpate.dorsalis-pedis.left": "missed",
        "pulses.palpate.dorsalis-pedis.right": "unseen",
        "pulses.rate": "done",
        "manner.explains": "level",
    }
    expect(desk.locator(".sum")).to_contain_text("not yet")
    desk.get_by_role("link", name="Release", exact=True).focus()
    press(desk, "Enter")
    expect(desk.get_by_role("heading", level=1)).to_contain_text("Release")
    press(desk, "Enter")
    expect(desk.get_by_role("heading", level=1)).to_contain_text("Released")
    assert site.make.kept(pk=marking["pk"])["releases"] == 1


def test_arrows_walk_the_cells_of_a_site_grid(desk):
    press(desk, "ArrowDown ArrowDown")
    expect(in_focus(desk)).to_have_id("e-pulses.palpate.radial.left")
    press(desk, "ArrowRight ArrowDown")
    expect(in_focus(desk)).to_have_id("e-pulses.palpate.dorsalis-pedis.right")
    press(desk, "ArrowDown")
    expect(in_focus(desk)).to_have_id("e-pulses.rate")
    press(desk, "ArrowUp ArrowUp ArrowLeft")
    expect(in_focus(desk)).to_have_id("e-pulses.palpate.radial.left")


def test_slash_finds_an_element_by_parts_of_its_words(desk):
    press(desk, "/")
    desk.keyboard.type("dor ri")
    press(desk, "Enter d")
    row = desk.locator("[id='e-pulses.palpate.dorsalis-pedis.right']")
    expect(row).to_contain_text("done")


def test_a_mark_is_stamped_two_seconds_before_and_t_moves_it_to_now(
    desk, site, marking
):
    until(desk, "document.querySelector('video').readyState > 0")
    desk.evaluate("document.querySelector('video').currentTime = 60")
    press(desk, "d")
    link = desk.get_by_role(
        "link", name="Asks permission to examine and to record: go to"
    )
    expect(link).to_have_text("0:58")
    press(desk, "ArrowUp t")
    expect(link).to_have_text("1:00")
    press(desk, "ArrowDown ArrowUp . .")
    press(desk, "g")
    expect(desk.locator(".now").first).to_have_text("1:00")
    saved(desk)
    kept = site.make.kept(pk=marking["pk"])["targets"]["element:opening.consent"]
    assert kept["value"] == {"state": "done", "at": 60.0, "speed": 1.0}


def test_undo_and_redo_have_no_limit(desk, site, marking):
    press(desk, "d d d d d d d u u u u u u u")
    expect(desk.locator("[data-marked]")).to_have_text("0")
    press(desk, "U U U")
    expect(desk.locator("[data-marked]")).to_have_text("3")
    saved(desk)
    given = [state for state in states(site, marking).values() if state]
    assert given == ["done"] * 3


def test_excused_asks_for_the_reason_and_enter_keeps_it(desk, site, marking):
    press(desk, "ArrowDown ArrowDown x")
    desk.keyboard.type("Arm in plaster")
    press(desk, "Enter")
    expect(in_focus(desk)).to_have_id("e-pulses.palpate.radial.right")
    saved(desk)
    targets = site.make.kept(pk=marking["pk"])["targets"]
    value = targets["element:pulses.palpate.radial.left"]["value"]
    assert (value["state"], value["reason"]) == ("excused", "Arm in plaster")


def test_what_only_a_lead_may_excuse_stays_open(desk):
    press(desk, "x")
    expect(desk.locator("[data-say]")).to_contain_text("Only a course lead")
    expect(in_focus(desk)).to_have_id("e-opening.consent")


def test_a_comment_is_about_the_element_just_marked_and_a_phrase_takes_three_keys(
    desk, site, marking
):
    press(desk, "m c")
    desk.keyboard.type("Ask before you film.")
    desk.get_by_label("keep as phrase").check()
    desk.locator("#comment").focus()
    press(desk, "Enter")
    press(desk, "u u m c 1")
    expect(desk.locator("#comment")).to_have_value("Ask before you film.")
    press(desk, "Enter")
    expect(in_focus(desk)).to_have_id("e-opening.hygiene")
    saved(desk)
    targets = site.make.kept(pk=marking["pk"])["targets"]
    kept = [
        e["value"]
        for t, e in targets.items()
        if t.startswith("comment:") and e["value"]
    ]
    assert [(c["element"], c["text"]) for c in kept] == [
        ("opening.consent", "Ask before you film.")
    ]


def test_a_comment_without_a_next_step_gets_a_quiet_hint(desk):
    press(desk, "c")
    hint = desk.locator("[data-hint]")
    desk.keyboard.type("That was not so good.")
    expect(hint).to_be_visible()
    desk.keyboard.type(" Next time use the bell.")
    expect(hint).to_be_hidden()


def test_the_comment_in_work_outlives_a_reload(desk):
    press(desk, "c")
    desk.keyboard.type("Half a thought")
    desk.wait_for_timeout(300)
    desk.reload()
    expect(desk.locator("#comment")).to_have_value("Half a thought")


def test_an_empty_comment_that_was_left_begins_anew_at_another_moment(desk):
    until(desk, "document.querySelector('video').readyState > 0")
    press(desk, "c Escape . . c")
    expect(desk.locator("comment-box [data-at]")).to_have_text("at 0:08")


def test_a_comment_is_edited_and_deleted_and_undo_brings_it_back(desk, site, marking):
    press(desk, "c")
    desk.keyboard.type("Look at the face.")
    press(desk, "Enter")
    desk.get_by_role("button", name="Edit").press("Enter")
    expect(desk.locator("#comment")).to_have_value("Look at the face.")
    desk.locator("#comment").fill("Look at the face while you ask.")
    press(desk, "Enter")
    listed = desk.locator("comment-list li")
    expect(listed).to_have_count(1)
    desk.get_by_role("button", name="Delete").press("Enter")
    expect(listed).to_have_count(0)
    press(desk, "u")
    expect(listed).to_contain_text("Look at the face while you ask.")


def test_a_hazard_is_noted_with_one_key_where_there_is_one(desk, site, marking):
    press(desk, "h")
    expect(desk.locator("check-list")).to_contain_text("Carries on after")
    saved(desk)
    targets = site.make.kept(pk=marking["pk"])["targets"]
    (sighting,) = (e["value"] for t, e in targets.items() if t.startswith("sighting:"))
    assert sighting["rule"] == "carried-on"


def test_an_order_that_the_times_contradict_is_ruled_on(desk, site, marking):
    until(desk, "document.querySelector('video').readyState > 0")
    press(desk, "ArrowDown ArrowDown ArrowDown")
    desk.evaluate("document.querySelector('video').currentTime = 30")
    press(desk, "d ArrowUp")
    expect(in_focus(desk)).to_have_id("e-pulses.palpate.radial.right")
    desk.evaluate("document.querySelector('video').currentTime = 80")
    press(desk, "d")
    question = desk.locator("check-list")
    expect(question).to_contain_text("0:28")
    expect(question).to_contain_text("1:18")
    question.get_by_role("button", name="In order").press("Enter")
    expect(question).to_contain_text("You ruled: in order")
    saved(desk)
    targets = site.make.kept(pk=marking["pk"])["targets"]
    assert targets["ruling:arms-first"]["value"]["result"] == "met"


def test_the_rest_is_missed_after_it_was_shown_and_one_undo_brings_it_back(desk):
    press(desk, "ArrowDown d")
    desk.get_by_role("button", name="All still open: missed").press("Enter")
    dialog = desk.get_by_role("dialog")
    expect(dialog.get_by_role("heading", level=3).first).to_have_text("Critical (1)")
    press(desk, "Enter")
    expect(desk.locator("[data-marked]")).to_have_text("7")
    press(desk, "u")
    expect(desk.locator("[data-marked]")).to_have_text("1")


def test_keys_can_be_changed_and_switched_off_and_stay_so(desk):
    press(desk, "?")
    dialog = desk.get_by_role("dialog")
    dialog.get_by_role("button", name="Change the key for done").press("Enter")
    press(desk, "f")
    expect(dialog).to_contain_text("done: f")
    dialog.get_by_role("button", name="Close").press("Enter")
    desk.reload()
    press(desk, "d")
    expect(desk.locator("[data-marked]")).to_have_text("0")
    press(desk, "f")
    expect(desk.locator("[data-marked]")).to_have_text("1")
    press(desk, "?")
    dialog.get_by_label("Keys are on").uncheck()
    dialog.get_by_role("button", name="Close").press("Enter")
    press(desk, "f")
    expect(desk.locator("[data-marked]")).to_have_text("1")


def test_keys_rest_outside_the_sheet(desk):
    desk.get_by_role("link", name="Release", exact=True).focus()
    press(desk, "d")
    expect(desk.locator("[data-marked]")).to_have_text("0")


def test_all_of_it_goes_by_mouse(desk, site, marking):
    desk.get_by_role("button", name="partly p").click()
    desk.locator("[id='e-pulses.rate']").click()
    desk.get_by_role("button", name="missed m").click()
    desk.locator("[id='e-manner.explains']").click()
    desk.get_by_role("button", name="explains every step").click()
    saved(desk)
    assert states(site, marking) == {
        "opening.consent": "partly",
        "pulses.rate": "missed",
        "manner.explains": "level",
    }


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 820, 1440])
def test_the_desk_fits_and_axe_finds_nothing(open_as, site, check_axe, width, theme):
    marking = site.make.marking(
        rubric="cardiovascular.yaml", captions="demo/recording.vtt"
    )
    page = open_as(marking["desk"], width=width, theme=theme)
    press(page, "d p s m n h")
    press(page, "1 c")
    page.keyboard.type("Say which artery you are over before you listen.")
    press(page, "Enter")
    saved(page)
    assert sideways(page) == 0
    check_axe(page)
