"""What a million marks cost from the store to the omission table; printed, not asserted.

Goals: at most 4 (SQLite) and 5 (PostgreSQL) times a file with the same bytes and the
same counts in numpy; 150 ms and 400 MB; time in step with the sheets, from a quarter of
a million marks to four millions.
"""

import json
import os
import subprocess
import sys
from itertools import pairwise

import pytest

from tests.project.tree import ROOT

SHEETS = (2_660, 10_639, 42_554)  # times 94 elements: 0.25, 1 and 4 million marks


def measures(store, folder):
    command = [sys.executable, "-m", "tests.cost.million", "grow", *map(str, SHEETS)]
    environment = os.environ | {"BELLSIDE_DEMO": "1"}
    if store == "PostgreSQL":
        command = [".ci/with-postgres", *command]
    else:
        environment["BELLSIDE_DATABASE"] = f"sqlite:///{folder}/cost.sqlite3"
    measured = subprocess.run(
        command,
        cwd=ROOT,
        env=environment,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return [json.loads(line) for line in measured.stdout.splitlines()]


@pytest.mark.benchmark
@pytest.mark.parametrize("store", ["SQLite", "PostgreSQL"])
def test_a_million_marks_from_the_store_to_the_table(store, tmp_path):
    found = measures(store, tmp_path)
    print(f"\n{store}")  # noqa: T201
    for one in found:
        print(  # noqa: T201
            f"{one['marks']:>9,} marks: store {one['store'] * 1000:.0f} ms / file "
            f"{one['file'] * 1000:.0f} ms = {one['store'] / one['file']:.2f}; "
            f"peak {one['peak']:.0f} MB"
        )
    growth = [
        f"{after['store'] / before['store']:.2f}" for before, after in pairwise(found)
    ]
    print(f"four times the sheets take {' and '.join(growth)} times as long")  # noqa: T201
