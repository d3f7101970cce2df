"""What the way from the store to the omission table takes, at growing sizes.

    python -m tests.cost.million grow SHEETS SHEETS ...   BELLSIDE_DATABASE names an empty store
    python -m tests.cost.million measure                  in a store that is filled

`grow` makes the tables, fills them up to each number of sheets of 94 elements, and has a
process of its own measure each time, whose peak memory is then that of the figures alone.
Each measure is one JSON object on a line: marks, seconds from the store, seconds from a
file with the same bytes and the same counts, and the process's peak memory in MB.
"""

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "accounts.site.settings")
django.setup()

import numpy as np  # noqa: E402 (needs the settings)
from django.core.management import call_command  # noqa: E402

from grading.cohort import Chosen, credits_of, read_groups  # noqa: E402
from grading.models import Assignment  # noqa: E402
from grading.statistics.omissions import omissions  # noqa: E402
from grading.statistics.states import to_array  # noqa: E402

ALL = Chosen(attempt="all")


def assignment():
    return Assignment.objects.select_related("edition", "cohort").get()


def grow(sizes):
    from tests import factories
    from tests.cost.filling import fill

    call_command("migrate", verbosity=0)
    course = factories.CourseFactory()
    rubric = factories.PULSE_CHECK.with_name("cardiovascular.yaml")
    made = factories.AssignmentFactory(
        cohort=factories.CohortFactory(course=course),
        edition=factories.edition_of(course, rubric.read_text(encoding="utf-8")),
    )
    filled = 0
    for sheets in sizes:
        while filled < sheets:
            more = min(10_000, sheets - filled)
            fill(made, more, first=filled)
            filled += more
        subprocess.run(  # its line goes where ours would
            [sys.executable, "-m", "tests.cost.million", "measure"], check=True
        )


def from_store(made):
    (group,) = read_groups([made], ALL)
    return group.omissions(ALL)


def from_file(path, definition):
    states = np.fromfile(path, dtype=np.uint8).reshape(-1, len(definition.elements))
    return omissions(states, credits_of(definition))


def seconds(act, times=7):
    found = []
    for _ in range(times):
        begun = perf_counter()
        act()
        found.append(perf_counter() - begun)
    return statistics.median(found)


def measure():
    made = assignment()
    definition = made.edition.definition
    store = seconds(lambda: from_store(made))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    (group,) = read_groups([made], ALL)
    elements = len(definition.elements)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "states"
        to_array([row.states for row in group.rows], elements).tofile(path)
        file = seconds(lambda: from_file(path, definition))
        same = from_file(path, definition).omitted.tolist()
    assert from_store(made).omitted.tolist() == same
    marks = len(group.rows) * elements
    print(  # noqa: T201 (read by the test)
        json.dumps({"marks": marks, "store": store, "file": file, "peak": peak})
    )


if __name__ == "__main__":
    if sys.argv[1] == "grow":
        grow([int(size) for size in sys.argv[2:]])
    else:
        measure()
