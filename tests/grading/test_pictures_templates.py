"""The SVG of each picture: it stands alone, and shows what was placed."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings
from django.utils import translation

from grading.pictures import bars, control, funnel, intervals, spine, strip
from grading.templatetags.pictures import PAGE, PRINT, picture

SCALE = intervals.scale(0.6)
STATES = ("done", "partly", "said", "missed", "unseen", "excused", "level")
DRAWN = {
    "axis": intervals.axis(SCALE),
    "row": intervals.row(
        SCALE, "Apex <bell>", intervals.Rate(0.4, 0.3, 0.5), intervals.Rate(0.1, 0, 0.2)
    ),
    "bar": bars.bar(0.5, "Opening: 1 of 2 points", minimum_percent=50),
    "control": control.row(SCALE, "Autumn <41>", 0.5, 0.05, 0.4, 0.2),
    "funnel": funnel.funnel(
        [(10, 0.5, False), (41, 0.1, True)],
        0.3,
        [funnel.Limits(n, 0.2, 0.4, 0.1, 0.5) for n in funnel.sizes(41)],
    ),
    "strip": strip.strip(["Opening"], ["Spring", "Autumn"], [[0.1, None]]),
    "spine": spine.spine(
        600,
        [
            spine.Moment(20 * i, state, f"{state} here")
            for i, state in enumerate(STATES)
        ],
        comments=[30],
        unplayed=[(100, 200)],
        now=50,
    ),
}
STATIC = Path(settings.BASE_DIR) / "accounts/static/accounts"


def svg(drawn, **options):
    return ElementTree.fromstring(picture(drawn, **options))  # noqa: S314 - our own words


def count(root, name):
    return sum(1 for _ in root.iter(name))


@pytest.mark.parametrize("name", DRAWN)
def test_a_picture_is_well_formed_and_its_first_child_names_it(name):
    root = svg(DRAWN[name])
    assert (root.tag, root.get("role"), root[0].tag) == ("svg", "img", "title")
    assert root[0].text == DRAWN[name].title


@pytest.mark.parametrize("name", DRAWN)
def test_a_picture_has_no_inline_style(name):
    assert not re.search(r"<style|style=", picture(DRAWN[name]))


@pytest.mark.parametrize("name", DRAWN)
def test_a_printed_picture_needs_nothing_of_the_page(name):
    assert "var(" not in picture(DRAWN[name], on="print")


@pytest.mark.parametrize("name", DRAWN)
def test_every_symbol_used_is_kept_in_the_same_picture(name):
    root = svg(DRAWN[name], name="first")
    kept = {f"#{symbol.get('id')}" for symbol in root.iter("symbol")}
    assert {use.get("href") for use in root.iter("use")} == kept


def test_a_row_shows_a_dot_a_square_and_two_lines():
    root = svg(DRAWN["row"])
    assert (count(root, "circle"), count(root, "rect")) == (1, 1)
    lines = [path for path in root.iter("path") if "H" in path.get("d")]
    assert len(lines) == 2


def test_a_bar_without_minimum_has_no_stroke():
    assert count(svg(bars.bar(0.5, "")), "path") == 0
    assert count(svg(bars.bar(0.5, "", minimum_percent=0)), "path") > 0


def test_a_strip_shows_every_value_as_text():
    texts = ["".join(text.itertext()) for text in svg(DRAWN["strip"]).iter("text")]
    assert {"10%", "no rate"} <= set(texts)


def test_a_spine_shows_every_mark_with_its_words():
    root = svg(DRAWN["spine"])
    uses = [use.get("href") for use in root.iter("use")]
    assert uses == [f"#spine-{state}" for state in STATES]
    titles = [group[0].text for group in root.iter("g")]
    assert titles == [f"{state} here" for state in STATES]


def test_the_glyphs_of_a_spine_are_those_of_the_pages():
    pages = (STATIC / "glyphs.svg").read_text()
    for symbol in svg(DRAWN["spine"]).iter("symbol"):
        state = symbol.get("id").removeprefix("spine-")
        shapes = re.search(
            rf'<symbol id="{state}" viewBox="0 0 18 18">(.*?)</symbol>', pages
        )
        if state == "level":  # pages write a level in words
            assert shapes is None
        else:
            inside = re.search(
                rf'<symbol id="spine-{state}"[^>]*>(.*?)</symbol>',
                picture(DRAWN["spine"]),
            )
            assert inside[1] == shapes[1]


def test_printed_colours_are_the_light_ones_of_the_tokens():
    tokens = (STATIC / "tokens.css").read_text()
    light = dict(re.findall(r"--([\w-]+): light-dark\((#\w+),", tokens))
    for name, variable in PAGE.items():
        if name != "font":
            assert PRINT[name] == light[variable[len("var(--") : -1]]


def test_coordinates_keep_their_decimal_point_in_every_language():
    with translation.override("de"):
        assert ' x="215.5"' in picture(
            intervals.row(intervals.scale(0.7), "", None, intervals.Rate(0.36, 0, 0.7))
        )
