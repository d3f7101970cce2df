"""The rubric builder: a rubric from nothing, pasted lines, undo, all by keyboard."""

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


def test_a_rubric_is_built_from_nothing_by_keyboard_alone(open_rubric, site):
    wanted = site.make.file_of(name="pulse-check.yaml")
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
