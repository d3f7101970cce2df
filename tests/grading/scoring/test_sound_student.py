"""The chance that a rubric's weights tell, against many sheets through the real scorer.

The pass mark is put so low that points fail nobody: what does not pass then fails by
criticals. The bound is 4 standard errors of the proportion, which a right chance
leaves once in 16 000 seeds (the normal approximation of the binomial); the seed is fixed.
"""

import random
from dataclasses import replace
from fractions import Fraction
from math import sqrt

import pytest

from grading.scoring import Mark, Ruling, Sheet, score
from rubric.definition import Before, Effect, State, read
from rubric.definition.weights import weigh
from tests.project.tree import ROOT

SHEETS = 1500
FILES = ["pulse-check", "cardiovascular"]


def where_only_criticals_fail(name):
    definition = read((ROOT / f"fixtures/rubrics/{name}.yaml").read_bytes(), name)
    passing = Fraction(1, 100)
    capped = Effect("cap", Fraction(0))

    def lowered(part):
        cap = part.effect if hasattr(part, "effect") else part.critical
        low = (
            cap is not None
            and cap.kind == "cap"
            and cap.amount < definition.pass_percent
        )
        return capped if low else cap

    sections = tuple(
        replace(
            section,
            minimum_percent=None,
            parts=tuple(
                replace(part, critical=lowered(part)) for part in section.parts
            ),
        )
        for section in definition.sections
    )
    rules = tuple(replace(rule, effect=lowered(rule)) for rule in definition.rules)
    return replace(definition, pass_percent=passing, sections=sections, rules=rules)


def a_sheet(definition, share, dice):
    marks = []
    for element in definition.elements:
        right = dice.random() < share
        if element.levels:
            level = len(element.levels) if right else 1
            marks.append(Mark(element.key, State.LEVEL, level=level))
        else:
            marks.append(Mark(element.key, State.DONE if right else State.MISSED))
    return Sheet(
        marks=tuple(marks),
        global_rating=2,
        rulings=tuple(
            Ruling(rule.key, "met")
            for rule in definition.rules
            if isinstance(rule, Before)
        ),
    )


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("share", [0.95, 0.8])
def test_the_chance_to_fail_by_criticals_is_the_scorers(name, share):
    definition = where_only_criticals_fail(name)
    chance = float(weigh(definition, Fraction(str(share))).chance)
    dice = random.Random(20)  # noqa: S311 - a fixed seed, no secret
    failed = sum(
        score(definition, a_sheet(definition, share, dice)).outcome == "not_yet"
        for _ in range(SHEETS)
    )
    error = sqrt(chance * (1 - chance) / SHEETS)
    assert abs(failed / SHEETS - chance) <= 4 * error
