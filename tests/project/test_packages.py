"""The lock installs what pyproject.toml asks for, and nothing unchecked."""

import json
import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.project.tree import ROOT

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
