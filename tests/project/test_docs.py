"""The documents name every command and setting, and none that is not there."""

import re
from urllib.parse import urlsplit

import pytest
from django.core.management import get_commands

from tests.project.tree import ROOT, files

PAGES = {name: (ROOT / name).read_text() for name in ("README.md", "DEVELOPERS.md")}
DOCS = "\n".join(PAGES.values())
OURS = {path.stem for path in files("*/management/commands/*.py")} - {"__init__"}
SETTING = r"\bBELLSIDE_[A-Z_]+"
SETTINGS = {
    name
    for path in files("accounts/*.py", "rubric/*.py", "grading/*.py")
    for name in re.findall(SETTING, path.read_text())
}


@pytest.mark.parametrize("command", sorted(OURS))
def test_every_command_is_documented(command):
    assert f"manage.py {command}" in DOCS


def test_every_documented_command_exists():
    assert (
        set(re.findall(r"manage\.py (\w+)", DOCS)) - {*get_commands(), "help"} == set()
    )


@pytest.mark.parametrize("setting", sorted(SETTINGS))
def test_every_setting_is_documented(setting):
    assert setting in DOCS


def test_every_documented_setting_exists():
    assert set(re.findall(SETTING, DOCS)) - SETTINGS == set()


def test_every_documented_make_target_exists():
    targets = re.findall(
        r"^([\w-]+(?: [\w-]+)*):(?!=)", (ROOT / "Makefile").read_text(), re.M
    )
    known = {name for line in targets for name in line.split()}
    assert set(re.findall(r"\bmake ([a-z][\w-]*)(?=[`\s])", DOCS)) - known == set()


@pytest.mark.parametrize("document", PAGES)
def test_every_link_and_picture_of_a_document_is_there(document):
    links = [
        x
        for x in re.findall(r"\]\(([^)#]+)", PAGES[document])
        if not urlsplit(x).scheme
    ]
    assert [link for link in links if not (ROOT / link).exists()] == []


@pytest.mark.parametrize("document", PAGES)
def test_every_path_a_document_names_is_there(document):
    named = re.findall(
        r"`((?:accounts|rubric|grading|fixtures|tests|\.ci)/[\w./-]*)`", PAGES[document]
    )
    assert [path for path in named if not (ROOT / path).exists()] == []
