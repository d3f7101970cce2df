"""Parts in the builder: sections from pasted lines, grids, chips, levels, mends."""

from playwright.sync_api import expect

from tests.browser.builder import saved, type_in


def sections(site, page):
    return site.make.rubric_file(pk=page.rubric)["sections"]


def test_a_pasted_heading_becomes_a_section_with_the_lines_below_it(open_rubric, site):
    page = open_rubric()
    page.get_by_role("button", name="+ paste a list").click()
    page.get_by_label("Lines").fill(
        "Palpates the neck\nThe chest:\nPalpates the ribs\nAsks about pain"
    )
    page.get_by_role("button", name="Show what it says").click()
    page.get_by_role("button", name="Take 1 section and 3 elements").click()
    saved(page)
    made = [[p["text"] for p in s.get("parts", [])] for s in sections(site, page)]
    assert made == [["Palpates the neck"], ["Palpates the ribs", "Asks about pain"]]
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert len(sections(site, page)) == 1


def test_an_element_goes_into_a_grid_and_a_site_out_of_it(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    page.get_by_label("Text of the element").nth(2).focus()
    type_in(page, "<Alt+ArrowRight>")
    saved(page)
    [grid] = sections(site, page)[1]["parts"]
    assert len(grid["sites"]) == 3
    type_in(page, "<Alt+ArrowLeft>")
    saved(page)
    assert len(sections(site, page)[1]["parts"]) == 3


def test_chips_are_renamed_and_change_places_by_keyboard(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    page.get_by_role("button", name="radial", exact=True).first.focus()
    type_in(page, "<Alt+ArrowRight>", "<Enter>", "<Control+a>", "ulnar", "<Enter>")
    saved(page)
    assert sections(site, page)[1]["parts"][0]["sites"] == ["dorsalis pedis", "ulnar"]


def test_levels_change_places_and_go_and_undo_brings_them_back(open_rubric, site):
    page = open_rubric("pulse-check.yaml")
    before = sections(site, page)
    page.get_by_label("Text of the element").last.focus()
    page.get_by_role("button", name="Move level 1 down").click()
    page.get_by_role("button", name="Take level 3 out").click()
    saved(page)
    levels = sections(site, page)[2]["parts"][0]["levels"]
    assert [str(level["credit"]) for level in levels] == ["0.5", "0"]
    for _ in range(2):
        page.get_by_role("button", name="Undo").click()
    saved(page)
    assert sections(site, page) == before


def test_a_taken_title_is_refused_and_kept_in_sight(open_rubric):
    first = open_rubric()
    page = open_rubric()
    title = first.get_by_label("Title of the rubric").input_value()
    page.get_by_label("Title of the rubric").fill(title)
    expect(page.locator("clash-list")).to_contain_text("Not saved")
    page.get_by_role("button", name="Let it go").click()
    expect(page.get_by_label("Title of the rubric")).not_to_have_value(title)


def test_the_keys_are_shown_and_a_finding_leads_to_its_place(open_rubric, check_axe):
    page = open_rubric()
    page.locator("body").press("?")
    expect(page.get_by_role("dialog", name="Keys")).to_be_visible()
    check_axe(page)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Go there").first.click()
    assert page.evaluate("document.activeElement.matches('input, textarea, select')")
