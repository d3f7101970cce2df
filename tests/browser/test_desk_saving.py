"""Saving: the network, the server or the session away; two tabs; two people."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_desk import in_focus, press, saved, states


@pytest.fixture
def marking(site):
    return site.make.marking()


def standing(page):
    return page.locator("saving-state")


def test_thirty_marks_without_a_network_are_kept_and_sent_in_their_order(open_as, site):
    marking = site.make.marking(rubric="cardiovascular.yaml")
    desk = open_as(marking["desk"])
    saved(desk)
    desk.context.set_offline(True)
    press(desk, " ".join("dpsmn" * 6))
    expect(standing(desk)).to_have_text("30 changes wait on this device: no network")
    expect(desk.locator("[data-marked]")).to_have_text("30")
    assert site.make.kept(pk=marking["pk"])["changes"] == []
    desk.context.set_offline(False)
    saved(desk)
    keys = [e.get_attribute("data-target") for e in desk.locator(".element").all()][:30]
    expected = dict(
        zip(keys, ["done", "partly", "said", "missed", "unseen"] * 6, strict=True)
    )
    kept = states(site, marking)
    assert {f"element:{key}": state for key, state in kept.items()} == expected


def test_what_waits_on_the_device_outlives_the_page(open_as, site, marking):
    desk = open_as(marking["desk"])
    saved(desk)
    desk.route("**/save/", lambda route: route.abort())
    press(desk, "d p s")
    expect(standing(desk)).to_contain_text("3 changes wait on this device: no network")
    desk.on("dialog", lambda dialog: dialog.accept())
    desk.reload()
    expect(desk.locator("[data-marked]")).to_have_text("3")
    expect(in_focus(desk)).to_have_id("e-opening.consent")
    desk.unroute("**/save/")
    saved(desk)
    assert list(states(site, marking).values()) == ["done", "partly", "said"]


def test_the_page_asks_before_it_is_left_only_while_something_waits(open_as, marking):
    desk = open_as(marking["desk"])
    asked = []
    desk.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    press(desk, "d")
    saved(desk)
    desk.goto("about:blank")
    assert asked == []
    desk.go_back()
    desk.route("**/save/", lambda route: route.abort())
    press(desk, "p")
    expect(standing(desk)).to_contain_text("1 change waits")
    desk.goto("about:blank")
    assert asked == ["beforeunload"]


def test_a_server_in_trouble_is_said_and_tried_again(open_as, site, marking):
    desk = open_as(marking["desk"])
    saved(desk)
    desk.route("**/save/", lambda route: route.fulfill(status=503, body=""))
    press(desk, "d")
    expect(standing(desk)).to_contain_text("the server is in trouble")
    desk.unroute("**/save/")
    saved(desk)
    assert states(site, marking) == {"opening.consent": "done"}


def test_signing_in_again_resumes_where_the_session_ended(open_as, site, marking):
    desk = open_as(marking["desk"])
    press(desk, "d")
    saved(desk)
    site.make.sign_everybody_out()
    press(desk, "p s m")
    expect(standing(desk)).to_contain_text(
        "you are signed out, 3 changes wait: sign in"
    )
    with desk.context.expect_page() as opened:
        standing(desk).get_by_role("link", name="sign in").click()
    tab = opened.value
    person = site.make.person()
    tab.locator("[name=login]").fill(person["email"])
    tab.locator("[name=password]").fill(person["password"])
    with tab.expect_event("close"):
        tab.locator("main button.primary").click()
    saved(desk)
    assert list(states(site, marking).values()) == ["done", "partly", "said", "missed"]
    press(desk, "d")
    saved(desk)


def test_another_persons_sign_in_sends_nothing_of_mine(open_as, site, marking):
    desk = open_as(marking["desk"])
    saved(desk)
    theirs = site.make.session(name="Lena Voss", role="lead")["session"]
    desk.context.add_cookies(
        [{"name": "sessionid", "value": theirs, "url": site.address}]
    )
    press(desk, "d p")
    expect(standing(desk)).to_contain_text(
        "somebody else has signed in here, 2 changes"
    )
    assert site.make.kept(pk=marking["pk"])["changes"] == []
    mine = site.make.session()["session"]
    desk.context.add_cookies(
        [{"name": "sessionid", "value": mine, "url": site.address}]
    )
    saved(desk)
    assert list(states(site, marking).values()) == ["done", "partly"]


def test_signing_out_warns_of_what_waits_and_clears_it(open_as, site, marking):
    desk = open_as(marking["desk"])
    saved(desk)
    desk.route("**/save/", lambda route: route.abort())
    press(desk, "d p")
    expect(standing(desk)).to_contain_text("2 changes wait")
    tab = desk.context.new_page()
    tab.goto(f"{site.address}/sign-out/")
    expect(tab.locator("sign-out-check")).to_contain_text("were not sent: 2.")
    tab.get_by_role("button", name="Sign out").click()
    expect(tab.get_by_role("heading", level=1)).to_have_text("Sign in")
    left = tab.evaluate(
        """async () => {
          const open = indexedDB.open("bellside-outbox");
          await new Promise((r) => { open.onsuccess = r; });
          const stores = [...open.result.objectStoreNames];
          const counts = stores.map((name) => new Promise((r) => {
            const q = open.result.transaction(name).objectStore(name).count();
            q.onsuccess = () => r(q.result);
          }));
          return (await Promise.all(counts)).reduce((a, b) => a + b, 0);
        }"""
    )
    assert left == 0


def test_two_tabs_show_each_others_marks_and_overwrite_nothing(open_as, site, marking):
    first = open_as(marking["desk"])
    second = first.context.new_page()
    second.faults = []
    second.goto(first.url)
    saved(second)
    press(first, "d")
    expect(second.locator("[data-marked]")).to_have_text("1")
    second.bring_to_front()
    second.locator("[id='e-opening.consent']").click()
    press(second, "m")
    expect(first.locator("[id='e-opening.consent']")).to_contain_text("missed")
    saved(first)
    saved(second)
    assert states(site, marking) == {"opening.consent": "missed"}
    assert len(site.make.kept(pk=marking["pk"])["changes"]) == 2


@pytest.mark.parametrize(
    ("choice", "stands"), [("Theirs: done", "done"), ("Yours: missed", "missed")]
)
def test_two_people_at_once_are_both_shown_and_one_chooses(
    open_as, site, marking, choice, stands
):
    mine = open_as(marking["desk"])
    theirs = open_as(marking["desk"], name="Lena Voss", role="lead")
    saved(mine)
    saved(theirs)
    mine.context.set_offline(True)
    press(mine, "m")
    press(theirs, "d")
    saved(theirs)
    mine.context.set_offline(False)
    conflict = mine.locator("write-conflicts")
    expect(conflict).to_contain_text("was changed by Lena Voss")
    expect(mine.locator("[id='e-opening.consent']")).to_contain_text("done")
    mine.reload()
    conflict.get_by_role("button", name=choice).click()
    expect(conflict).to_be_empty()
    saved(mine)
    assert states(site, marking) == {"opening.consent": stands}


def test_a_marking_released_elsewhere_takes_no_more_and_says_so(open_as, site, marking):
    desk = open_as(marking["desk"])
    saved(desk)
    site.make.release(pk=marking["pk"])
    press(desk, "d")
    expect(standing(desk)).to_contain_text("this marking is released")


def test_the_release_page_waits_for_what_is_not_saved(open_as, site, marking):
    site.make.mark_all(pk=marking["pk"])
    desk = open_as(marking["desk"])
    saved(desk)
    desk.route("**/save/", lambda route: route.abort())
    press(desk, "m")
    tab = desk.context.new_page()
    tab.goto(f"{site.address}{marking['desk']}release/")
    expect(tab.get_by_text("Some changes wait on this device")).to_be_visible()
    expect(tab.get_by_role("button", name="Release to the student")).to_be_disabled()
