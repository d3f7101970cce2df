"""What scoring costs, as ratios; printed, not asserted (`pytest -m benchmark -s`).

Goals: scoring a sheet, reasons included, at most 25 times a bare loop that reads the
element, state and moment of each of its marks; `manage.py score`, the whole process,
at most 1.3 times `manage.py check`.
"""

import subprocess
import sys
from decimal import Decimal
from random import Random
from time import perf_counter

import pytest

from grading.scoring import Mark, Sheet, score, write_marks
from rubric.definition.read import read
from rubric.definition.values import State
from tests.project.tree import ROOT

RUBRIC = ROOT / "fixtures" / "rubrics" / "cardiovascular.yaml"
USUAL = [State.DONE] * 14 + [State.PARTLY] * 2 + [State.SAID, State.MISSED]


def sheets(definition, states, count=100):
    """Sheets marked from the first element to the last, every one different."""
    draw = Random(1)  # noqa: S311 - nothing secret
    for _ in range(count):
        yield Sheet(
            marks=tuple(
                Mark(
                    element.key,
                    State.LEVEL if element.levels else draw.choice(states),
                    Decimal(position * 9) / 10,
                    1 if element.levels else None,
                )
                for position, element in enumerate(definition.elements)
            ),
            length_seconds=Decimal(900),
            global_rating=1,
        )


def bare(marks):
    for mark in marks:
        mark.element, mark.state, mark.at  # noqa: B018 - the reading is what is timed


def least(act, times=15):
    """The shortest of several runs in microseconds: what the machine's other work adds
    is no cost of ours.
    """
    found = []
    for _ in range(times):
        start = perf_counter()
        act()
        found.append(perf_counter() - start)
    return min(found) * 1e6


@pytest.mark.benchmark
@pytest.mark.parametrize(
    "states", [USUAL, [*USUAL, State.UNSEEN]], ids=["seen", "unseen"]
)
def test_a_sheet_against_a_bare_loop(states):
    definition = read(RUBRIC.read_bytes(), RUBRIC.name)
    scored = looped = 0.0
    for sheet in sheets(definition, states):
        scored += least(lambda sheet=sheet: score(definition, sheet)) / 100
        looped += least(lambda sheet=sheet: bare(sheet.marks)) / 100
    count = len(definition.elements)
    tell(
        f"{count} elements: score {scored:.0f} us, bare loop {looped:.1f} us, "
        f"ratio {scored / looped:.1f} (goal 25)"
    )


@pytest.mark.benchmark
def test_the_command_against_django_check(tmp_path):
    definition = read(RUBRIC.read_bytes(), RUBRIC.name)
    marks = tmp_path / "marks.json"
    marks.write_text(write_marks(next(sheets(definition, USUAL))))
    commands = {"check": ["check"], "score": ["score", str(RUBRIC), str(marks)]}
    times = {
        name: least(lambda c=command: run_manage(*c), times=7)
        for name, command in commands.items()
    }
    ratio = times["score"] / times["check"]
    tell(
        f"manage.py score {times['score'] / 1e6:.2f} s, "
        f"check {times['check'] / 1e6:.2f} s, ratio {ratio:.2f} (goal 1.3)"
    )


def tell(figures):
    print(f"\n{figures}")  # noqa: T201 - the figures are what this test is for


def run_manage(*arguments):
    subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
