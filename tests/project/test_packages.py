"""The lock installs what pyproject.toml asks for, and nothing unchecked."""

import ast
import json
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.project.tree import ROOT, files

LOCK = (ROOT / "requirements.lock").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))[
    "project"
]
ASKED = [
    Requirement(line)
    for part in [PROJECT["dependencies"], *PROJECT["optional-dependencies"].values()]
    for line in part
]
LOCKED = dict(re.findall(r"^([\w.-]+)==(\S+)", LOCK, re.MULTILINE))


@pytest.mark.parametrize("asked", ASKED, ids=str)
def test_the_lock_holds_every_package_asked_for(asked):
    assert Version(LOCKED[canonicalize_name(asked.name)]) in asked.specifier


@pytest.mark.parametrize("asked", ASKED, ids=str)
def test_every_package_has_a_lowest_and_a_highest_version(asked):
    assert {part.operator for part in asked.specifier} == {">=", "<"}


@pytest.mark.parametrize("name", LOCKED)
def test_every_locked_package_is_checked_by_hash(name):
    rest = LOCK[LOCK.index(f"{name}=={LOCKED[name]}") :]
    assert re.match(r"\S+ \\\n    --hash=sha256:[0-9a-f]{64}", rest)


def test_the_locks_name_no_host():
    node = json.loads((ROOT / ".ci/package-lock.json").read_text(encoding="utf-8"))
    assert [p for p in node["packages"].values() if "resolved" in p] == []
    assert "://" not in LOCK
    assert re.findall(r"^--?\w[\w-]*", LOCK, re.MULTILINE) == []


@pytest.mark.parametrize(
    ("folder", "named"),
    [
        *(
            (name, PROJECT["dependencies"])
            for name in ("accounts", "rubric", "grading")
        ),
        ("tests", ASKED),
    ],
)
def test_what_the_code_imports_is_asked_for_by_name(folder, named):
    providers = packages_distributions()
    imported = {
        canonicalize_name(package)
        for path in files(f"{folder}/*.py")
        for module in imports_of(path)
        if module
        not in {*sys.stdlib_module_names, "accounts", "rubric", "grading", "tests"}
        for package in providers[module]
    }
    assert (
        imported - {canonicalize_name(Requirement(str(x)).name) for x in named} == set()
    )


def imports_of(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            yield node.module.split(".")[0]
