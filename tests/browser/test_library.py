"""The library: a starter is found, copied and taken out again, by keyboard alone."""

from playwright.sync_api import expect

from rubric.definition import read
from rubric.library import starters


def press_to(page, name):
    """Tab until the thing of this name has the focus."""
    for _ in range(120):
        page.keyboard.press("Tab")
        said = page.evaluate("document.activeElement.textContent.trim()")
        if name in said:
            return
    raise AssertionError(f"{name} is not reached by Tab")


def test_a_starter_is_copied_by_keyboard_and_goes_out_as_it_came_in(site, open_as):
    page = open_as("/rubrics/library/", role="instructor")
    press_to(page, "Copy Shoulder examination")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Shoulder examination")
    answer = page.request.get(f"{page.url}export.yaml")
    assert read(answer.body(), "x") == starters()["shoulder"].definition
