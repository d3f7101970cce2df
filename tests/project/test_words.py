"""What the repository's own text may hold, and how long a file of it may be."""

import re

import pytest

from tests.project.tree import files, name_of

TEXT = [
    p for p in files() if p.suffix not in {".png", ".webm", ".woff2", ".ttf", ".otf"}
]
# How many lines still read as one thing; tables of cases and of style run longer.
LONGEST = [
    *((path, 400) for path in files("*.py", "*.js", "*.html", ":!tests")),
    *((path, 500) for path in files("tests/*.py")),
    *((path, 600) for path in files("*.css")),
]

# Each in two halves, so that this file holds none of them.
UNREACHABLE = [
    "/wo" + "rk/",  # a path of one machine
    r"\bissue" + r" #?\d",  # a ticket its reader cannot open
    "py" + r"pi\.",  # registries: whoever installs has their own
    "python" + "hosted",
    "npm" + "js",
    r"deb\." + "debian",
]


@pytest.mark.parametrize("path", TEXT, ids=name_of)
def test_text_names_nothing_its_reader_cannot_reach(path):
    text = path.read_text(encoding="utf-8")
    assert re.findall("|".join(UNREACHABLE), text, re.IGNORECASE) == []


@pytest.mark.parametrize(("path", "longest"), LONGEST)
def test_a_file_of_code_is_short_enough_to_be_one_thing(path, longest):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= longest


def test_no_file_is_heavy():
    assert [name_of(p) for p in files() if p.stat().st_size > 3_000_000] == []


@pytest.mark.parametrize("path", files("*.py", "*.js", "*.html"), ids=name_of)
def test_nothing_is_left_unfinished_or_muted(path):
    marks = ["TO" + "DO", "FIX" + "ME", "X" + "XX", "mark" + ".skip", "mark" + ".xfail"]
    text = path.read_text(encoding="utf-8")
    assert re.findall(rf"\b(?:{'|'.join(map(re.escape, marks))})\b", text) == []
