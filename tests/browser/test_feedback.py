"""A student reads the feedback and watches its moments."""

import pytest
import webvtt
from playwright.sync_api import expect

from tests.browser.conftest import sideways, until

LEFT = "pulses.palpate.radial.left"
COMMENTS = [
    ("opening.consent", 1.0, "Wait for the answer."),
    (LEFT, 30.5, "Finger pads, not tips."),
    (None, None, "Calm throughout."),
]
LONG = {
    "rubric": "cardiovascular.yaml",
    "length": 827,
    "states": {
        "opening.hygiene": "missed",
        "legs.feel.dorsalis-pedis.left": "said",
        "vitals.breathing": "unseen",
    },
    "captions": "demo/recording.vtt",
    "comments": [
        ("opening.consent", 1.0, "Wait for the answer."),
        ("closing.hygiene", 90.5, "Good, and in view."),
        (None, None, "Calm throughout."),
    ],
}


@pytest.fixture
def read(open_as, site):
    """The feedback page as the student sees it."""

    def opened(width=1440, theme="light", **described):
        described = {"comments": COMMENTS, **described}
        address = site.make.feedback(**described)["address"]
        page = open_as(
            address, name="Sana Whitlock", role="student", width=width, theme=theme
        )
        expect(page.get_by_role("heading", level=1)).to_have_text("Your feedback")
        return page

    return opened


def video(page, name):
    return page.evaluate(f"document.querySelector('video').{name}")


def moment(page, key):
    return page.locator(f"[id='{key}'] a.moment")


def test_one_click_on_a_moment_plays_it_and_leaves_the_reader_where_they_are(read):
    page = read(**LONG)
    until(page, "document.querySelector('video').readyState > 0")
    link = moment(page, "closing.hygiene")
    link.scroll_into_view_if_needed()
    at = float(link.get_attribute("data-at"))
    place = page.evaluate("scrollY")
    link.click()
    until(page, "!document.querySelector('video').paused")
    assert video(page, "currentTime") >= at
    assert page.evaluate("scrollY") == place
    expect(page.locator(".back")).to_be_hidden()


def test_on_a_narrow_screen_a_moment_leads_to_the_player_and_back(read):
    page = read(width=360)
    until(page, "document.querySelector('video').readyState > 0")
    link = moment(page, "manner.explains")
    link.click()
    until(page, "!document.querySelector('video').paused")
    assert page.evaluate("document.activeElement.tagName") == "VIDEO"
    page.get_by_role("link", name="Back to where you were").click()
    expect(link).to_be_focused()
    expect(page.locator(".back")).to_be_hidden()


def test_the_comment_being_played_is_the_current_one(read):
    page = read()
    until(page, "document.querySelector('video').readyState > 0")
    comments = page.locator(".remarks > li")
    comments.nth(1).locator("a.moment").click()
    expect(comments.nth(1)).to_have_attribute("aria-current", "true")
    comments.nth(0).locator("a.moment").click()
    expect(comments.nth(0)).to_have_attribute("aria-current", "true")
    expect(
        page.locator("[aria-current=true].remark, .remarks [aria-current]")
    ).to_have_count(1)


def test_moments_are_reached_and_played_by_keyboard_alone(read):
    page = read()
    until(page, "document.querySelector('video').readyState > 0")
    moment(page, LEFT).focus()
    page.keyboard.press("Enter")
    until(page, "!document.querySelector('video').paused")
    assert video(page, "currentTime") >= 2


def test_captions_and_comments_can_be_shown_over_the_recording(read):
    page = read(**LONG)
    until(page, "document.querySelector('video').readyState > 0")
    page.evaluate(
        "for (const track of document.querySelector('video').textTracks) track.mode = 'hidden'"
    )
    until(
        page,
        "[...document.querySelector('video').textTracks].every(t => t.cues?.length)",
    )
    tracks = page.evaluate(
        "[...document.querySelector('video').textTracks].map(t => [t.kind, t.cues.length])"
    )
    assert tracks[0][0] == "captions"
    assert tracks[1] == ["subtitles", 2]


def test_a_described_hosts_frame_jumps_too(read):
    page = read(link="https://host.example/abc")
    moment(page, "pulses.rate").click()
    clock = page.frame_locator("iframe").locator("#said")
    expect(clock).not_to_have_text("0.0")
    assert float(clock.inner_text()) >= 6


def test_elsewhere_the_moment_opens_at_its_time_and_the_time_is_copied(read):
    page = read(link="https://video.example/watch")
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    link = page.locator(".remarks a.moment").nth(1)
    assert link.get_attribute("href") == "https://video.example/watch#t=30.5"
    assert link.get_attribute("target") == "_blank"
    page.get_by_role("button", name="copy 0:30").click()
    expect(page.get_by_text("copied", exact=True)).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == "0:30"


def test_the_pdf_and_the_comments_are_downloaded(read):
    page = read()
    with page.expect_download() as pdf:
        page.get_by_role("link", name="PDF, A4").click()
    assert pdf.value.path().read_bytes().startswith(b"%PDF-1.7")
    with page.expect_download() as comments:
        page.get_by_role("link", name="Comments, WebVTT").click()
    assert len(webvtt.read(comments.value.path())) == 2


def test_an_address_with_an_element_opens_at_it(read, open_as):
    page = read(**LONG)
    page.goto(f"{page.url}#closing.hygiene")
    row = page.locator("[id='closing.hygiene']")
    expect(row).to_be_in_viewport()


@pytest.mark.parametrize("width", [360, 820, 1440])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_it_fits_and_is_accessible_at_every_width_in_both_themes(
    read, check_axe, width, theme
):
    page = read(width=width, theme=theme, **LONG)
    assert sideways(page) == 0
    check_axe(page)


def test_a_long_word_does_not_widen_a_narrow_page(read):
    text = "sternocleidomastoid" * 9
    page = read(width=360, comments=[(LEFT, 3.0, text), (None, None, text)])
    assert sideways(page) == 0


@pytest.mark.parametrize("link", ["https://video.example/w", "https://host.example/a"])
def test_every_way_of_playing_is_accessible(read, check_axe, link):
    check_axe(read(link=link, width=820))
