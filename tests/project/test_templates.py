"""Every template compiles, everything it names is there, and none lies unused."""

import re

import pytest
from django.contrib.staticfiles import finders
from django.template.loader import get_template, render_to_string

from rubric.definition import State
from tests.project.tree import ROOT, files

TEMPLATES = {
    str(path).split("/templates/")[1]: path
    for path in files("*/templates/*")
    if path.suffix in {".html", ".svg", ".txt"}
}
# What Django and the libraries ask for by a name of their own.
ASKED_FOR_BY_OTHERS = re.compile(r"\d{3}(_csrf)?\.html|account/.*|bellside/\w+\.html")


def named(pattern):
    return {
        name
        for path in TEMPLATES.values()
        for name in re.findall(pattern, path.read_text(encoding="utf-8"))
    }


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_compiles(name):
    get_template(name)


def test_every_template_that_another_names_is_there():
    parts = named(r"{% (?:include|extends) \"([^\"]+)\"")
    assert parts - set(TEMPLATES) == set()


def test_every_static_file_that_a_template_names_is_there():
    missing = {
        name for name in named(r"{% static \"([^\"]+)\"") if not finders.find(name)
    }
    assert missing == set()


def test_no_template_lies_unused():
    used = named(r"{% (?:include|extends) \"([^\"]+)\"")
    for path in files("accounts/*.py", "rubric/*.py", "grading/*.py"):
        used |= set(
            re.findall(r"\"([\w/.-]+\.\w+)\"", path.read_text(encoding="utf-8"))
        )
    unused = {n for n in TEMPLATES if not ASKED_FOR_BY_OTHERS.fullmatch(n)} - used
    assert unused == set()


@pytest.mark.parametrize("state", [s.value for s in State if s is not State.LEVEL])
def test_a_states_glyph_comes_with_its_word_and_is_drawn(state):
    shown = render_to_string("accounts/_state.html", {"state": state, "word": "so"})
    glyphs = (ROOT / "accounts/static/accounts/glyphs.svg").read_text(encoding="utf-8")

    assert f'#{state}"/></svg> <span class="soft">so</span>' in shown
    assert f'<symbol id="{state}"' in glyphs
