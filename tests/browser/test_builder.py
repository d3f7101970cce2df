"""The rubric builder: a rubric from nothing, pasted lines, undo, all by keyboard."""

import pytest
from playwright.sync_api import expect

from tests.browser.builder import (
    fill,
    fill_part,
    fill_rule,
    fill_section,
    meaning,
    saved,
    tab_to,
    type_in,
)
from tests.browser.conftest import sideways


def test_a_rubric_is_built_from_nothing_by_keyboard_alone(open_rubric, site):
    wanted = site.make.file_of(name="pulse-check.yaml")
    wanted["title"] = "A pulse check by keyboard"
    page = open_rubric()
    fill(page, "Title of the rubric", wanted["title"])
    fill(page, "Pass mark in %", wanted["pass_percent"])
    tab_to(page, "Add a word")
    type_in(page, ",".join(wanted["global_rating"]["words"]), "<Enter>")
    tab_to(page, "The borderline")
    type_in(page, "<ArrowDown>")
    for n, section in enumerate(wanted["sections"]):
        if n:
            type_in(page, "<Control+Shift+Enter>")
        else:
            tab_to(page, "Title of the section")
        fill_section(page, section)
        for part in section["parts"]:
            if "sites" in part:
                tab_to(page, "+ site grid")
            type_in(page, "<Enter>")
            fill_part(page, part)
    for rule in wanted["rules"]:
        fill_rule(page, rule)
    saved(page)
    made = site.make.rubric_file(pk=page.rubric)
    assert meaning(made) == meaning(wanted)


def test_forty_pasted_lines_become_forty_elements_after_they_were_shown(
    open_rubric, site
):
    page = open_rubric()
    page.get_by_role("button", name="+ paste a list").click()
    lines = [f"Palpates place {n}\t{n % 3 + 1}" for n in range(1, 41)]
    page.get_by_label("Lines").fill("\n".join(lines))
    page.get_by_role("button", name="Show what it says").click()
    page.get_by_label("Text of line 40").fill("Palpates the last place")
    page.get_by_role("button", name="Take 40 elements").click()
    saved(page)
    [section] = site.make.rubric_file(pk=page.rubric)["sections"]
    made = [(p["text"], p["technique"], p["points"]) for p in section["parts"]]
    wanted = [(f"Palpates place {n}", "palpate", n % 3 + 1) for n in range(1, 40)]
    assert made == [*wanted, ("Palpates the last place", "palpate", 2)]
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert not site.make.rubric_file(pk=page.rubric)["sections"][0].get("parts")


ACTS = {
    "typing": ["<Control+a>", "Other words", "<Tab>"],
    "adding": ["<Enter>", "A new one", "<Tab>"],
    "moving": ["<Alt+ArrowDown>"],
    "crossing": ["<Alt+ArrowDown>", "<Alt+ArrowDown>"],
    "duplicating": ["<Alt+Shift+ArrowDown>"],
    "removing": ["<Alt+Delete>"],
    "a choice": ["<Tab>", "measure", "<Tab>"],
    "a section": ["<Control+Shift+Enter>", "New section", "<Tab>"],
}


@pytest.mark.parametrize("keys", ACTS.values(), ids=ACTS)
def test_every_kind_of_change_is_undone_and_done_again(open_rubric, site, keys):
    page = open_rubric("pulse-check.yaml")
    before = site.make.rubric_file(pk=page.rubric)
    page.get_by_label("Text of the element").first.focus()
    type_in(page, *keys)
    saved(page)
    after = site.make.rubric_file(pk=page.rubric)
    assert after != before
    undo = page.get_by_role("button", name="Undo")
    while undo.is_enabled():
        undo.click()
    saved(page)
    assert site.make.rubric_file(pk=page.rubric) == before
    redo = page.get_by_role("button", name="Redo")
    while redo.is_enabled():
        redo.click()
    saved(page)
    assert site.make.rubric_file(pk=page.rubric) == after


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 820, 1440])
def test_the_builder_is_in_reach_of_everybody(open_rubric, check_axe, width, theme):
    page = open_rubric("cardiovascular.yaml", width=width, theme=theme)
    page.get_by_label("Text of the site grid").first.focus()
    type_in(page, "<Control+Enter>")
    assert sideways(page) == 0
    check_axe(page)


def test_typing_never_waits_for_the_network(open_rubric, site):
    page = open_rubric("cardiovascular.yaml")
    held = []
    page.route("**/changes/**", lambda route: held.append(route))
    text = page.get_by_label("Text of the element").first
    text.focus()
    type_in(page, "<Control+a>", "Typed while the server is silent")
    expect(text).to_have_value("Typed while the server is silent")
    expect(page.locator("saving-line")).to_have_text("saving …")
    type_in(page, " and on")
    expect(text).to_have_value("Typed while the server is silent and on")
    for route in held:
        route.continue_()
    page.unroute("**/changes/**")
    saved(page)
    first = site.make.rubric_file(pk=page.rubric)["sections"][0]["parts"][0]
    assert first["text"] == "Typed while the server is silent and on"


def test_what_is_exported_comes_back_the_same(open_rubric, site):
    page = open_rubric("cardiovascular.yaml")
    page.get_by_label("Text of the element").first.fill("Changed in the builder")
    saved(page)
    before = site.make.rubric_file(pk=page.rubric)
    with page.expect_download() as export:
        page.get_by_role("link", name="YAML").click()
    page.get_by_label("Text of the element").first.fill("Changed again")
    saved(page)
    page.goto(f"{site.address}/rubrics/import/")
    page.locator("[type=file]").set_input_files(export.value.path())
    page.get_by_role("button", name="Import").click()
    expect(page.locator("rubric-builder[data-ready]")).to_be_attached()
    assert site.make.rubric_file(pk=page.rubric) == before
