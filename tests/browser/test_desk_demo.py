"""The demo's recording is marked to its expected sheet by keyboard, key by key."""

import json
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import until
from tests.browser.test_desk import in_focus, saved

DEMO = Path(__file__).parents[2] / "fixtures" / "demo"
STATE_KEYS = {
    "done": "d",
    "partly": "p",
    "said": "s",
    "missed": "m",
    "unseen": "n",
    "excused": "x",
}
# Where the student leaves the order of the sheet, the keys that follow.
MOVES = {
    "neck.position": "ArrowDown",
    "neck.palpate.carotid.right": "ArrowDown",
    "neck.listen.carotid.left": "ArrowUp",
    "precordium.palpate.aortic-area": "ArrowDown",
    "legs.palpate.dorsalis-pedis.right": "ArrowRight",
    "legs.refill.toes.right": "ArrowDown",
    "legs.palpate.posterior-tibial.left": "ArrowUp ArrowUp",
    "legs.edema.top-of-foot.left": "m ArrowDown ArrowDown ArrowRight",
    "arms.palpate.brachial.left": "/ b Enter",
    "closing.equipment": "ArrowDown",
}
MOST_KEYS_AN_ELEMENT = 1.2


class Marker:
    """Presses keys and counts them; free text is not counted."""

    def __init__(self, page):
        self.page = page
        self.keys = 0

    def press(self, keys):
        for key in keys.split():
            self.page.keyboard.press(key)
            self.keys += 1

    def watch(self, at):
        """The recording has gone on to two seconds after the act began."""
        self.page.evaluate(f"document.querySelector('video').currentTime = {at + 2}")

    def here(self):
        return in_focus(self.page).get_attribute("data-target").removeprefix("element:")

    def give(self, mark):
        if mark["state"] == "level":
            self.press(str(mark["level"]))
            return
        self.press(STATE_KEYS[mark["state"]])
        if mark["state"] == "excused":
            self.page.keyboard.type(mark["reason"])
            self.press("Enter")


def test_the_demo_recording_is_marked_by_keyboard_to_the_expected_sheet(open_as, site):
    expected = json.loads((DEMO / "expected.json").read_text(encoding="utf-8"))
    marking = site.make.marking(rubric="cardiovascular.yaml", length=827)
    page = open_as(marking["desk"])
    until(page, "document.querySelector('video').readyState > 0")
    marker = Marker(page)
    marks = {mark["element"]: mark for mark in expected["marks"]}
    left_out = {key for key, mark in marks.items() if mark["state"] == "missed"}
    seen = [mark for mark in marks.values() if mark.get("at") is not None]
    for mark in sorted(seen, key=lambda mark: mark["at"]):
        key = mark["element"]
        marker.watch(mark["at"])
        # What the student passed over is missed; no key is spent on going round it.
        while key not in MOVES and marker.here() in left_out:
            marker.press("m")
        marker.press(MOVES.get(key, ""))
        assert marker.here() == key
        marker.give(mark)
    assert marker.keys <= MOST_KEYS_AN_ELEMENT * len(marks)
    expect(in_focus(page)).to_have_attribute("data-target", "rating")
    marker.press(str(expected["global_rating"]))
    marker.watch(expected["hazards"][0]["at"])
    marker.press("h 1")
    expect(page.locator("[data-marked]")).to_have_text("94")
    rule = page.locator("check-list li", has_text="feet")
    rule.get_by_label("Note to this ruling").fill(expected["rulings"][0]["note"])
    rule.get_by_role("button", name="In order").press("Enter")
    saved(page)
    check_kept(site.make.kept(pk=marking["pk"])["targets"], expected, marks)
    # Added up by hand in fixtures/demo/script.yaml.
    expect(page.locator(".sum")).to_contain_text("81.8%")
    expect(page.locator(".sum")).to_contain_text("not yet")


def check_kept(targets, expected, marks):
    for key, mark in marks.items():
        value = targets[f"element:{key}"]["value"]
        found = {name: value.get(name) for name in ("state", "level", "reason")}
        assert found == {name: mark.get(name) for name in found}, key
        if mark.get("at") is not None:
            assert value["at"] == mark["at"], key
    sightings = [e["value"] for t, e in targets.items() if t.startswith("sighting:")]
    assert [(s["rule"], s["at"]) for s in sightings] == [("both-carotids", 334.0)]
    ruling = expected["rulings"][0]
    assert targets["ruling:feet-last"]["value"] == {
        "result": ruling["result"],
        "note": ruling["note"],
    }
