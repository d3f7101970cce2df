"""The starter rubrics: what each of them has to have, and where its figures come from."""

import json
import re
from decimal import Decimal
from fnmatch import fnmatch

import pytest
from ruamel.yaml import YAML

from grading.scoring import as_json, read_marks, score
from rubric.definition import AtLeast, Before, Within, read, select
from rubric.definition.lint import lint
from tests.project.figures import UNIT, Figure, figures
from tests.project.tree import ROOT

FOLDER = ROOT / "fixtures"
RUBRICS = {
    path.stem: read(path.read_bytes(), path.name)
    for path in sorted((FOLDER / "rubrics").glob("*.yaml"))
}
PARTS = {
    f"{name}:{part.key}": part
    for name, definition in RUBRICS.items()
    for section in definition.sections
    for part in section.parts
}
FACTS = YAML(typ="safe").load(FOLDER / "checks" / "exam-figures.yaml")["figures"]
LIBRARY = YAML(typ="safe").load(FOLDER / "library.yaml")
# Two sources that are none: nobody can look them up.
WITHOUT_A_SOURCE = {
    "memory": "from memory, check before use",
    "practice": "common practice, no source",
}
WORDS = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
)
COUNTS = {word: count for count, word in enumerate(WORDS, start=1)}
each_rubric = pytest.mark.parametrize("name", RUBRICS)
each_part = pytest.mark.parametrize("name", PARTS)


def figure_of(fact):
    low, high = (
        None if fact[limit] is None else Decimal(str(fact[limit]))
        for limit in ("low", "high")
    )
    return Figure(low, high, fact["unit"])


def facts_of(name):
    return [f for f in FACTS if any(fnmatch(name, part) for part in f["in"])]


def told(part):
    labels = " ".join(level.label for level in getattr(part, "levels", ()))
    return f"{part.text}; {part.expects}; {labels}"


@each_part
def test_every_figure_of_a_part_is_a_cited_fact_and_every_fact_is_told(name):
    assert set(figures(told(PARTS[name]))) == {figure_of(f) for f in facts_of(name)}


@each_rubric
def test_the_comments_hold_no_figure_that_would_go_unchecked(name):
    text = (FOLDER / "rubrics" / f"{name}.yaml").read_text("utf-8")
    comments = re.findall("^ *#.*", text, re.MULTILINE)
    assert [line for line in comments if re.search(rf"\d+ ?(?:{UNIT})", line)] == []


@each_part
def test_a_part_names_the_source_of_each_of_its_figures(name):
    source = PARTS[name].source.lower()
    sources = [
        WITHOUT_A_SOURCE.get(fact["basis"]) or fact["source"] for fact in facts_of(name)
    ]
    assert [named for named in sources if named.lower() not in source] == []


def test_a_fact_has_one_name_one_basis_and_a_use():
    names = [fact["fact"] for fact in FACTS]
    assert len(names) == len(set(names))
    assert {f["basis"] for f in FACTS} <= {"read", "reported", *WITHOUT_A_SOURCE}
    assert all(("source" in f) is (f["basis"] not in WITHOUT_A_SOURCE) for f in FACTS)
    uses = [part for fact in FACTS for part in fact["in"]]
    assert [use for use in uses if not any(fnmatch(p, use) for p in PARTS)] == []


def test_what_was_reported_says_so_where_it_is_cited():
    reported = [f for f in FACTS if f["basis"] == "reported"]
    cited = [p for f in reported for p in PARTS if any(fnmatch(p, u) for u in f["in"])]
    assert [p for p in cited if "as reported" not in PARTS[p].source] == []


@each_part
def test_a_source_is_made_of_listed_sources_and_of_words_that_there_is_none(name):
    """Between the citations stand labels ("Range:") and the two kinds of no source."""
    rest = PARTS[name].source
    for cite in sorted((row["cite"] for row in LIBRARY["sources"]), key=len)[::-1]:
        rest = rest.replace(cite, "")
    pieces = [piece.strip().lower() for piece in re.split(r"[.;](?=\s|$)", rest)]
    none = tuple(WITHOUT_A_SOURCE.values())
    assert [p for p in pieces if p and not p.endswith((":", *none))] == []


def test_the_library_lists_every_starter_once_and_no_source_that_is_not_cited():
    assert sorted(row["rubric"] for row in LIBRARY["starters"]) == sorted(RUBRICS)
    assert all(row["about"] and row["adapt"] for row in LIBRARY["starters"])
    cites = [row["cite"] for row in LIBRARY["sources"]]
    assert len(cites) == len(set(cites))
    cited = "\n".join(part.source for part in PARTS.values())
    assert [cite for cite in cites if cite not in cited] == []


@each_rubric
def test_the_texts_of_the_rules_say_the_numbers_that_the_rules_have(name):
    definition = RUBRICS[name]
    for rule in definition.rules:
        digits = [int(digit) for digit in re.findall(r"\d+", rule.text)]
        assert digits == [] or (isinstance(rule, Within) and digits == [rule.minutes])
        if isinstance(rule, AtLeast):
            words = re.findall(r"\w+", rule.text.lower())
            whole = len(select(definition, rule.of))
            counts = [COUNTS[word] for word in words if word in COUNTS]
            assert counts in ([], [rule.count], [rule.count, whole]), rule.text


@each_rubric
def test_lint_finds_nothing_to_mend_and_nothing_worth_a_look(name):
    text = (FOLDER / "rubrics" / f"{name}.yaml").read_text("utf-8")
    assert [finding.words for finding in lint(text)] == []


@each_rubric
def test_all_done_is_a_full_mark_and_a_pass(name):
    definition = RUBRICS[name]
    marks = [
        {"element": e.key}
        | (
            {"state": "level", "level": len(e.levels)}
            if e.levels
            else {"state": "done"}
        )
        for e in definition.elements
    ]
    rulings = [
        {"rule": rule.key, "result": "met"}
        for rule in definition.rules
        if isinstance(rule, Before)
    ]
    sheet = {"format": "bellside-marks/1", "global_rating": 3, "marks": marks}
    text = json.dumps(sheet | {"rulings": rulings})
    result = as_json(score(definition, read_marks(text, "all-done", definition)))
    assert (result["outcome"], result["percent"]) == ("pass", "100")


@each_rubric
def test_opening_and_closing_conduct_criticals_hazards_and_a_limit_are_there(name):
    definition = RUBRICS[name]
    keys = {section.key for section in definition.sections}
    assert "opening" in keys
    assert ("closing" in keys) is (name != "pulse-check")
    kinds = {rule.kind for rule in definition.rules}
    assert kinds == {"at_least", "before", "hazard", "within"}
    by_key = {element.key: element for element in definition.elements}
    assert by_key["opening.consent"].critical.kind == "fail"


@each_rubric
def test_every_critical_and_every_hazard_says_why(name):
    definition = RUBRICS[name]
    criticals = [e for e in definition.elements if e.critical]
    assert [e.key for e in criticals if "Critical because" not in e.expects] == []
    hazards = [rule for rule in definition.rules if rule.kind == "hazard"]
    assert [r.key for r in hazards if not re.search(", wh(ich|o) ", r.text)] == []


# What is meant to hold over both sides: hands, face and neck before the feet.
WHOLE_BODY = {"arms-first", "feet-last"}


def swapped(rule, definition):
    """The elements of a `before` rule's two sides as right-then-left and left-then-right."""
    first, then = (select(definition, side) for side in (rule.first, rule.then))
    for sides in (("right", "left"), ("left", "right")):
        order = []
        for side in sides:
            order += [k for k in (*first, *then) if k.endswith(f".{side}")]
        yield order


@each_rubric
def test_one_side_whole_and_then_the_other_breaks_no_order(name):
    definition = RUBRICS[name]
    for rule in definition.rules:
        if not isinstance(rule, Before) or rule.key in WHOLE_BODY:
            continue
        for order in swapped(rule, definition):
            marks = [
                {"element": key, "state": "done", "at": 60 * at}
                for at, key in enumerate(order)
            ]
            sheet = {"format": "bellside-marks/1", "marks": marks}
            checks = as_json(
                score(definition, read_marks(json.dumps(sheet), "order", definition))
            )["checks"]
            (check,) = (c for c in checks if c["key"] == rule.key)
            assert check["result"] != "violated", (rule.key, order)


def test_the_neurological_screening_is_the_full_exam_cut_to_60_elements():
    full, cut = RUBRICS["neurological"], RUBRICS["neurological-screening"]
    assert len(cut.elements) == 60
    assert len(full.elements) == 115


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("60 to 100/min", [("60", "100", "/min")]),
        ("3 cm or less (some texts 4 cm)", [(None, "3", "cm"), ("4", "4", "cm")]),
        (
            "S1 in the 5th space, 2+ on a scale of 0 to 4",
            [("5", "5", "th"), ("2", "2", "+"), ("0", "4", "scale of")],
        ),
        ("more than 5 min, 2.5 cm or more", [("5", None, "min"), ("2.5", None, "cm")]),
    ],
)
def test_figures_are_read_with_their_limits_and_units(text, expected):
    wanted = [
        Figure(low and Decimal(low), high and Decimal(high), unit)
        for low, high, unit in expected
    ]
    assert figures(text) == wanted


def test_a_number_without_a_unit_is_no_figure():
    with pytest.raises(ValueError, match="'7' has no unit"):
        figures("7 or so")
