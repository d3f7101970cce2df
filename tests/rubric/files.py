"""Rubric files for tests: the two-minute pulse check, whole or with one change."""

from pathlib import Path

import pytest

from rubric.definition import read
from rubric.faults import Faults

PULSE_CHECK = (Path(__file__).parent / "pulse-check.yaml").read_text(encoding="utf-8")


def changed(*changes, text=PULSE_CHECK):
    """The text with each (old, new) replaced; an old that is not there once is a mistake."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} is there {text.count(old)} times"
        text = text.replace(old, new)
    return text


def faults_of(text):
    """Every fault of the file as its line of text, without the file's name."""
    with pytest.raises(Faults) as raised:
        read(text, "exam.yaml")
    return [
        str(fault).removeprefix("exam.yaml:").strip() for fault in raised.value.faults
    ]
