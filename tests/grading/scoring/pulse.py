"""The pulse check, and sheets for it written as short as in a table."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from grading.scoring import Mark, Sheet
from rubric.definition.read import read
from rubric.definition.values import State

FILE = Path(__file__).parents[2] / "rubric" / "pulse-check.yaml"
RATED = read(FILE.read_text(), FILE.name)
PULSE_CHECK = replace(RATED, global_rating=None)
KEYS = [element.key for element in PULSE_CHECK.elements]
CONSENT, RADIAL_LEFT, RADIAL_RIGHT, PEDAL_LEFT, PEDAL_RIGHT, EXPLAINS = KEYS
IN_ORDER = "3 10 12 20 22"


def sheet(states, times=IN_ORDER, explains=3, **more):
    """A sheet from states and times in exam order; `-` where there is none."""
    marks = [
        Mark(
            key,
            State(state),
            None if at == "-" else Decimal(at),
            reason="Arm in plaster" if state == "excused" else "",
        )
        for key, state, at in zip(KEYS, states.split(), times.split(), strict=False)
        if state != "-"
    ]
    if explains is not None:
        marks.append(Mark(EXPLAINS, State.LEVEL, level=explains))
    return Sheet(marks=tuple(marks), **more)
