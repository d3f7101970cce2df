"""The three kinds of recording: the desk does the same with each of them."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import until
from tests.browser.test_desk import press, saved


def now(page):
    return page.locator(".controls .now")


def value(site, marking, key="opening.consent"):
    return site.make.kept(pk=marking["pk"])["targets"][f"element:{key}"]["value"]


def test_a_file_plays_in_the_page_and_keys_steer_it(open_as, site):
    marking = site.make.marking(length=None)
    desk = open_as(marking["desk"])
    until(desk, "document.querySelector('video').readyState > 0")
    press(desk, ". . > >")
    expect(now(desk)).to_have_text("0:10")
    expect(desk.locator(".speed")).to_have_text("1.5×")
    press(desk, "space")
    until(desk, "!document.querySelector('video').paused")
    until(desk, "document.querySelector('video').currentTime > 12")
    press(desk, "d space")
    saved(desk)
    kept = value(site, marking)
    assert kept["speed"] == 1.5
    assert 8 <= kept["at"] <= 12  # two seconds at 1.5 before the key
    length = site.make.kept(pk=marking["pk"])["targets"]["length"]["value"]["seconds"]
    assert length > 120  # nobody said how long it is; the player knows


def test_what_was_played_is_kept(open_as, site):
    marking = site.make.marking()
    desk = open_as(marking["desk"])
    until(desk, "document.querySelector('video').readyState > 0")
    press(desk, "space")
    until(desk, "document.querySelector('video').currentTime > 3")
    press(desk, "space d")
    saved(desk)
    ((start, end),) = site.make.kept(pk=marking["pk"])["played"]
    assert start < 1
    assert end >= 3


@pytest.mark.parametrize(
    ("link", "length"),
    [("https://host.example/abc", "2:00"), ("https://other.example/abc", "1:30")],
)
def test_a_described_hosts_frame_is_steered_by_its_messages(
    open_as, site, link, length
):
    marking = site.make.marking(link=link, length=None)
    desk = open_as(marking["desk"])
    press(desk, "space")
    expect(desk.locator(".of")).to_have_text(f"of {length}")
    expect(desk.locator("[data-word]")).to_have_text("Pause")
    press(desk, ". .")
    until(desk, "document.querySelector('marking-desk').clock.now() > 10.5")
    press(desk, "space")
    expect(desk.locator("[data-word]")).to_have_text("Play")
    press(desk, "d")
    saved(desk)
    assert 8 <= value(site, marking)["at"] <= 12
    press(desk, "ArrowUp g")
    expect(now(desk)).to_have_text(f"0:{int(value(site, marking)['at']):02d}")


def test_speed_is_set_only_where_the_host_describes_it(open_as, site):
    desk = open_as(site.make.marking(link="https://other.example/abc")["desk"])
    press(desk, ">")
    expect(desk.locator(".speed")).to_have_text("1.25×")
    desk = open_as(site.make.marking(link="https://host.example/abc")["desk"])
    press(desk, ">")
    expect(desk.locator(".speed")).to_have_text("1×")
    expect(desk.get_by_role("button", name="Faster")).to_be_disabled()


def test_messages_of_another_origin_are_not_heard(open_as, site):
    desk = open_as(site.make.marking(link="https://host.example/abc")["desk"])
    desk.wait_for_timeout(600)
    desk.evaluate(
        """window.postMessage(JSON.stringify({context: "player.js", version: "0.0.11",
           event: "timeupdate", value: {seconds: 77, duration: 99}}), "*")"""
    )
    desk.wait_for_timeout(300)
    assert desk.evaluate("document.querySelector('marking-desk').clock.now()") < 1


def test_any_other_link_opens_beside_the_companion_clock(open_as, site):
    link = "https://elsewhere.example/v/1"
    marking = site.make.marking(link=link, length=None)
    desk = open_as(marking["desk"])
    opens = desk.get_by_role("link", name="Open the recording in its own window")
    expect(opens).to_have_attribute("href", link)
    press(desk, "m")  # before the clock is started nobody knows the moment
    desk.get_by_text("More").click()
    desk.get_by_label("Go to").fill("1:40")
    desk.get_by_role("button", name="Go", exact=True).click()
    expect(now(desk)).to_have_text("1:40")
    desk.get_by_role("button", name="5 seconds on").click()
    desk.get_by_role("button", name="1 second back").click()
    expect(now(desk)).to_have_text("1:44")
    desk.get_by_label("Length").fill("12:30")
    desk.get_by_role("button", name="Set", exact=True).click()
    expect(desk.locator(".of")).to_have_text("of 12:30")
    desk.locator("[id='e-opening.hygiene']").click()
    press(desk, "d")
    saved(desk)
    assert value(site, marking)["at"] is None
    assert value(site, marking, "opening.hygiene")["at"] == 102.0
    desk.reload()
    expect(now(desk)).to_have_text("1:44")
    jump = desk.get_by_role("link", name="Cleans hands in view: go to 1:42")
    expect(jump).to_have_attribute("href", f"{link}#t=102")


def test_the_companion_clock_runs_at_its_speed(open_as, site):
    desk = open_as(site.make.marking(link="https://elsewhere.example/v/1")["desk"])
    press(desk, "space > > > >")
    desk.wait_for_timeout(1500)
    press(desk, "space")
    assert 2 < desk.evaluate("document.querySelector('marking-desk').clock.now()") < 6


def test_a_file_that_does_not_play_here_leaves_the_companion_clock(open_as, site, host):
    marking = site.make.marking(link=f"{host}/none.mp4".replace("http://", "https://"))
    desk = open_as(marking["desk"])
    expect(
        desk.get_by_role("link", name="Open the recording in its own window")
    ).to_be_visible()
    press(desk, "space")
    expect(desk.locator("[data-word]")).to_have_text("Stop")


def test_what_is_said_is_listed_and_jumps(open_as, site):
    marking = site.make.marking(captions="demo/recording.vtt")
    desk = open_as(marking["desk"])
    until(desk, "document.querySelector('video').readyState > 0")
    desk.get_by_text("What is said").click()
    line = desk.locator("spoken-words li").nth(2)
    moment = line.get_by_role("button").inner_text()
    line.get_by_role("button").click()
    expect(now(desk)).to_have_text(moment)
