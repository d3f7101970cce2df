"""The main job once, from the demo, in the browser: student, instructor, course lead."""

import csv
import io
import re

import pikepdf
import pytest
import webvtt
from playwright.sync_api import expect

from grading.demo.school import PASSPHRASE
from tests.browser.conftest import until
from tests.browser.test_desk import in_focus, press, saved

STUDENT = "hannah.winterbottle@demo.invalid"
LEAD = "marit.egede@demo.invalid"
# Where the lead reads who marks, and how that person signs in.
INSTRUCTORS = {
    "Tobias Kestenholm": "tobias.kestenholm@demo.invalid",
    "Niamh O'Carraghy": "niamh.ocarraghy@demo.invalid",
    "Rukmini Devasundar": "rukmini.devasundar@demo.invalid",
    "Étienne Vauquelaire": "etienne.vauquelaire@demo.invalid",
    "Hind Belmokadem": "hind.belmokadem@demo.invalid",
}
REMARK = "Count for thirty seconds, and say the rate aloud."


@pytest.fixture
def sign_in(browser, demo):
    """`sign_in(email)`: that person's home, in a browser of their own."""
    contexts, faults = [], []

    def signed_in(email):
        contexts.append(browser.new_context())
        page = contexts[-1].new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on(
            "console", lambda said: said.type == "error" and faults.append(said.text)
        )
        page.goto(demo.address)
        page.get_by_label("E-mail").fill(email)
        page.get_by_label("Password", exact=True).fill(PASSPHRASE)
        page.get_by_role("button", name="Sign in").click()
        expect(heading(page)).to_have_text("Home")
        return page

    yield signed_in
    for context in contexts:
        context.close()
    assert faults == []


def heading(page):
    return page.get_by_role("heading", level=1)


def test_a_recording_goes_from_hand_in_to_feedback_to_cohort(sign_in):
    student, lead = sign_in(STUDENT), sign_in(LEAD)
    number = hand_in(student)
    instructor = sign_in(INSTRUCTORS[marker_of(lead, number)])
    mark(instructor, number)
    read_feedback(student)
    compare_cohorts(lead)


def hand_in(page):
    """The receipt's number."""
    page.get_by_role("link", name="Hand in your recording").click()
    link = page.get_by_label("Private link")
    link.fill("https://recordings.demo.invalid/my-pulse-check.webm")
    link.press("Tab")
    expect(page.get_by_role("status")).to_contain_text("its length is 13:47")
    expect(page.get_by_label("Length")).to_have_value("13:47")
    page.get_by_label("The person examined agreed").check()
    page.get_by_role("button", name="Hand in").click()
    expect(heading(page)).to_have_text("Receipt")
    receipt = page.locator("dl").inner_text()
    assert "13:47" in receipt
    return re.search(r"Number\s+(\d+)", receipt)[1]


def marker_of(page, number):
    """Whom the recording went to, as the lead reads it."""
    page.get_by_role("link", name="Pulse check").click()
    row = page.get_by_role("row").filter(has_text="Hannah Winterbottle")
    expect(row).to_contain_text("waits")
    return row.locator("[data-label=Marker]").inner_text()


def mark(page, number):
    """By keyboard from the queue on: marks, a comment at its moment, release."""
    # Another assignment may have a recording of the same number.
    row = page.get_by_role("row").filter(has_text="Pulse check")
    row.get_by_role("link", name=f"Submission {number}", exact=True).press("Enter")
    expect(heading(page)).to_have_text(f"Submission {number}")
    expect(in_focus(page)).to_have_id("e-opening.consent")
    until(page, "document.querySelector('video').readyState > 0")
    page.evaluate("document.querySelector('video').currentTime = 62")
    press(page, "d p d d d d m c")
    page.keyboard.type(REMARK)
    press(page, "Enter 3 3")
    saved(page)
    page.get_by_role("link", name="Release", exact=True).press("Enter")
    expect(heading(page)).to_have_text(f"Release submission {number}")
    page.keyboard.press("Enter")
    expect(heading(page)).to_have_text(f"Released: submission {number}")


def read_feedback(page):
    page.goto("/".join(page.url.split("/")[:3]))
    page.get_by_role("link", name="feedback of").first.click()
    expect(heading(page)).to_have_text("Your feedback")
    comment = page.locator(".remarks li").filter(has_text=REMARK)
    comment.locator("a.moment").click()
    moment = float(comment.get_attribute("data-from"))
    assert 55 < moment < 65
    until(page, f"Math.abs(document.querySelector('video').currentTime - {moment}) < 5")

    with pikepdf.open(io.BytesIO(download(page, "A4"))) as pdf:
        assert str(pdf.docinfo.Title).startswith("Feedback: Hannah Winterbottle")
    captions = webvtt.from_string(download(page, "WebVTT").decode())
    assert [REMARK in cue.text for cue in captions] == [True]


def compare_cohorts(page):
    page.goto("/".join(page.url.split("/")[:3]))
    row = page.get_by_role("row").filter(has_text="First examination")
    row.get_by_role("link", name="What Autumn cohort left out").click()
    page.get_by_label("Against").select_option("Final examination, Spring cohort")
    page.get_by_role("button", name="Show").click()
    table = page.locator("table.omissions")
    expect(table.locator("thead")).to_contain_text("Change, points")
    first = table.locator("tbody tr").first
    left_out = first.locator("[data-label='Left out']").inner_text()

    rows = list(csv.DictReader(io.StringIO(download(page, "CSV").decode())))
    assert len(rows) == 94
    assert left_out.startswith(f"{rows[0]['omitted']} of {rows[0]['judged']}")
    assert rows[0]["difference"]

    first.get_by_role("link").click()
    expect(heading(page)).to_have_text(rows[0]["text"])
    student = page.locator("tbody tr").filter(has=page.locator("a[href*='#t=']")).first
    name = student.locator("th").inner_text()
    with page.expect_popup() as opened:
        student.locator("a[href*='#t=']").click()
    until(opened.value, "document.querySelector('video').currentTime > 0")
    student.locator("th a").click()
    expect(heading(page)).to_have_text(f"Feedback: {name}")


def download(page, name):
    with page.expect_download() as waiting:
        page.get_by_role("link", name=name).first.click()
    return waiting.value.path().read_bytes()


def test_a_second_person_watches_a_hazard_and_says_whether_it_was_so(sign_in):
    page = sign_in(INSTRUCTORS["Tobias Kestenholm"])
    page.get_by_role("link", name="await your word on a hazard").click()
    rows = page.locator("tbody tr")
    expect(rows).to_have_count(4)
    first = rows.first
    cell = first.locator("[data-label=Recording]").inner_text()
    marked_by = re.search(r"marked by (.+?)\s*$", cell)[1]
    number = re.search(r"Submission \d+", cell)[0]
    with page.expect_popup() as opened:
        first.get_by_role("link").click()
    until(opened.value, "document.querySelector('video').currentTime > 300")
    first.get_by_role("button", name="Yes").click()
    expect(page.get_by_text("Your word is kept.")).to_be_visible()
    expect(rows).to_have_count(3)

    marker = sign_in(INSTRUCTORS[marked_by])
    expect(marker.get_by_role("row").filter(has_text=number)).to_contain_text(
        "to release"
    )
