"""Advice on words, against texts labelled by hand (fixtures/checks/element-texts.csv).

`seen` texts stood before whoever wrote the lists; `held` texts were written and labelled
after, and the lists were not changed for them. `pytest -s` prints the figures.
"""

import csv

import pytest

from rubric.definition import Technique
from rubric.definition.lint.words import (
    has_observable_verb,
    joins_two_behaviours,
    with_verb,
)
from tests.project.tree import ROOT

FILE = ROOT / "fixtures/checks/element-texts.csv"
with FILE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

# The label that calls for advice, and who gives it.
ADVICE = {
    "two behaviours": ("yes", lambda text: joins_two_behaviours(text) is not None),
    "observable verb": ("no", lambda text: not has_observable_verb(text)),
}
# Least precision and recall. What is said wrongly costs more than what is left unsaid.
FLOORS = [
    ("seen", "two behaviours", 0.95, 0.95),
    ("held", "two behaviours", 0.90, 0.70),
    ("seen", "observable verb", 0.95, 0.95),
    ("held", "observable verb", 0.90, 0.80),
]


def precision_and_recall(of_set, label):
    wanted, advises = ADVICE[label]
    rows = [row for row in ROWS if row["set"] == of_set]
    given = [advises(row["text"]) for row in rows]
    due = [row[label] == wanted for row in rows]
    right = sum(g and d for g, d in zip(given, due, strict=True))
    print(f"{of_set}, {label}: {right} right of {sum(given)} given, {sum(due)} due")  # noqa: T201
    return right / sum(given), right / sum(due)


@pytest.mark.parametrize(("of_set", "label", "precision", "recall"), FLOORS)
def test_advice_on_words_is_mostly_right(of_set, label, precision, recall):
    found = precision_and_recall(of_set, label)
    assert found[0] >= precision
    assert found[1] >= recall


def test_the_labelled_texts_are_enough_and_each_is_there_once():
    assert len({row["text"] for row in ROWS}) == len(ROWS) >= 200
    assert {row[label] for row in ROWS for label in ADVICE} == {"yes", "no"}
    assert sum(row["set"] == "held" for row in ROWS) >= 50


@pytest.mark.parametrize(
    ("text", "better"),
    [
        ("Radial pulse, left", "Palpates radial pulse, left"),
        ("JVP at 45 degrees", "Palpates JVP at 45 degrees"),
        ("Understands the pulse", None),
        ("", None),
    ],
)
def test_a_name_without_a_verb_is_given_that_of_its_technique(text, better):
    assert with_verb(text, Technique.PALPATE) == better


def test_what_is_stated_gets_no_verb_that_may_be_wrong():
    assert with_verb("Rate and rhythm", Technique.STATE) is None
