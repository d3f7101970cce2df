"""What lint finds, one small change of a clean rubric at a time."""

import json

import pytest
from hypothesis import HealthCheck, given, settings

from rubric.definition import write_json
from rubric.definition.lint import lint
from tests.project.tree import files, name_of
from tests.rubric.definitions import definitions

SHEET = {
    "format": "bellside-rubric/1",
    "title": "Neck",
    "language": "en",
    "pass_percent": 75,
}


def element(key, text="Palpates the trachea", **fields):
    given = {"technique": "palpate", "points": 1, "source": "Common practice", **fields}
    return {"key": key, "text": text, **given}


def grid(key, text="Palpates the {site}, {side}", **fields):
    given = {"sites": ["carotid"], "sides": ["left", "right"], **fields}
    return element(key, text, **given)


def rubric(*sections, rules=(), **sheet):
    made = [
        {"key": f"s{n}", "title": f"Part {n}", "parts": list(parts)}
        for n, parts in enumerate(sections)
    ]
    return json.dumps({**SHEET, **sheet, "sections": made, "rules": list(rules)})


def found(text):
    return [(f.weight, f.rule, f.place, f.key) for f in lint(text)]


def mended(text, finding):
    """The text after one click on the finding's mend."""
    document = json.loads(text)
    node = document
    for step in finding.mend.place:
        node = node[step]
    for key, value in finding.mend.fields.items():
        node.pop(key, None)
        if value is not None:
            node[key] = value
    return json.dumps(document)


def test_a_clean_rubric_has_no_finding():
    assert lint(rubric([element("a"), grid("b")])) == ()


@pytest.mark.parametrize("path", files("fixtures/rubrics/*.yaml"), ids=name_of)
def test_a_starter_rubric_has_no_error(path):
    text = path.read_text(encoding="utf-8")
    assert [f for f in lint(text) if f.weight == "must"] == []


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(definitions())
def test_every_rubric_lints_and_has_no_error(definition):
    assert {f.weight for f in lint(write_json(definition))} <= {"look"}
