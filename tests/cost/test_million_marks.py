"""What a million marks cost from the store to the omission table; printed, not asserted.

Goals: at most 4 (SQLite) and 5 (PostgreSQL) times a file with the same bytes and the
same counts in numpy; 2.0 to 2.5 times as long for twice the sheets; 150 ms and 400 MB.
"""

import json
import os
import subprocess
import sys

import pytest

from tests.project.tree import ROOT

SHEETS = 10_639  # times 94 elements: a million marks


def measure(database, sheets):
    environment = os.environ | {"BELLSIDE_DATABASE": database, "BELLSIDE_DEMO": "1"}
    migrate = [sys.executable, "manage.py", "migrate", "--verbosity", "0"]
    subprocess.run(migrate, cwd=ROOT, env=environment, check=True)
    measured = subprocess.run(
        [sys.executable, "-m", "tests.cost.million", str(sheets)],
        cwd=ROOT,
        env=environment,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return json.loads(measured.stdout)


@pytest.mark.benchmark
def test_a_million_marks_from_the_store_to_the_table(databases):
    once, twice = (measure(databases(), n) for n in (SHEETS, 2 * SHEETS))
    print(  # noqa: T201
        f"\n{once['marks']:,} marks: store {once['store'] * 1000:.0f} ms / file "
        f"{once['file'] * 1000:.0f} ms = {once['store'] / once['file']:.2f}; "
        f"twice the sheets takes {twice['store'] / once['store']:.2f} times as long; "
        f"peak {once['peak']:.0f} MB"
    )
