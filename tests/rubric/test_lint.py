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
    given = {name: value for name, value in given.items() if value is not None}
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


@settings(max_examples=20, suppress_health_check=list(HealthCheck))
@given(definitions())
def test_every_rubric_lints_and_has_no_error(definition):
    assert {f.weight for f in lint(write_json(definition))} <= {"look"}


def only(text):
    """The one finding of the text."""
    (finding,) = lint(text)
    return finding


def element_finding(**fields):
    text = rubric([element("a", **fields), element("b")])
    finding = only(text)
    assert finding.place == ("sections", 0, "parts", 0)
    return text, finding


def test_an_error_has_its_part_its_key_its_words_and_its_name():
    _, finding = element_finding(points="two")
    assert (finding.weight, finding.rule, finding.key) == ("must", "error", "points")
    assert finding.words == "Points is 'two'. Allowed: a number from 0 to 10000."
    assert finding.where == "Palpates the trachea"


@pytest.mark.parametrize(
    ("change", "place", "key"),
    [
        ({"title": ""}, (), "title"),
        ({"pass_percent": 101}, (), "pass_percent"),
        ({"credit": {"said": 2}}, (), "credit"),
        ({"global_rating": {"words": ["a"], "borderline": 1}}, (), "global_rating"),
        ({"rules": [{"key": "r"}]}, ("rules", 0), "kind"),
        ({"sections": []}, (), "sections"),
        (
            {"sections": [{"key": "s", "title": "S", "parts": []}]},
            ("sections", 0),
            None,
        ),
        (
            {"sections": [{"key": "s", "title": "S", "parts": 5}]},
            ("sections", 0),
            "parts",
        ),
    ],
)
def test_an_error_anywhere_knows_its_place(change, place, key):
    text = json.dumps({**json.loads(rubric([element("a")])), **change})
    assert (place, key) in [(f.place, f.key) for f in lint(text)]
    assert {f.weight for f in lint(text)} >= {"must"}


@pytest.mark.parametrize(
    ("fields", "key"),
    [
        (
            {"levels": [{"label": "x", "credit": 2}, {"label": "y", "credit": 1}]},
            "levels",
        ),
        ({"credit": {"said": 2}}, "credit"),
        ({"critical": {"cap": 101}}, "critical"),
        ({"say": ["a", "a"]}, "say"),
        ({"technique": "lick"}, "technique"),
        ({"text": ""}, "text"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_an_error_of_an_element_names_the_key_of_the_element(fields, key):
    _, finding = element_finding(**fields)
    assert (finding.weight, finding.key) == ("must", key)


def test_what_is_left_out_is_called_missing_or_empty():
    assert element_finding(points=None)[1].words == "Points is missing."
    assert element_finding(text="")[1].words == "Text is empty."


def test_what_is_no_rubric_at_all_is_one_error_of_the_sheet():
    finding = only("{")
    assert (finding.weight, finding.place, finding.where) == ("must", (), "The rubric")


def test_a_part_with_an_error_gets_no_advice_and_its_neighbour_does():
    text = rubric([element("a", points="x", source=""), element("b", source="")])
    assert [f[1:3] for f in found(text)] == [
        ("error", ("sections", 0, "parts", 0)),
        ("no-source", ("sections", 0, "parts", 1)),
    ]


MENDED = {
    "an unknown key": ([element("a", colour="red")], ()),
    "points of both kinds": ([grid("g", points_shared=2)], ()),
    "a key used twice": ([element("a"), element("a")], ()),
    "a misspelt selector": (
        [element("trachea"), element("b")],
        [
            {
                "key": "r",
                "kind": "at_least",
                "count": 1,
                "of": ["trachee", "b"],
                "effect": "flag",
                "text": "R",
            }
        ],
    ),
    "a count that is too high": (
        [element("a")],
        [
            {
                "key": "r",
                "kind": "at_least",
                "count": 2,
                "of": ["a"],
                "effect": "flag",
                "text": "R",
            }
        ],
    ),
    "an axis that elements lack": (
        [element("a"), element("b")],
        [
            {
                "key": "r",
                "kind": "before",
                "first": ["a"],
                "then": ["b"],
                "per": "side",
                "effect": "flag",
                "text": "R",
            }
        ],
    ),
    "nothing weighed": ([element("a", points=0)], ()),
    "nothing weighed by a grid": ([grid("g", points=0)], ()),
    "no source": ([element("a", source="")], ()),
    "a side missing": ([grid("g"), grid("h", sides=["left"], sites=["vertebral"])], ()),
    "no verb": ([element("a", "Trachea")], ()),
    "one side before the other": (
        [
            grid("g"),
            grid("h", "Listens over the {site}, {side}", technique="auscultate"),
        ],
        [
            {
                "key": "r",
                "kind": "before",
                "first": ["h.*"],
                "then": ["g.*"],
                "effect": "flag",
                "text": "R",
            }
        ],
    ),
    "one that decides": (
        [element("a", points=9), *(element(f"b{n}") for n in range(5))],
        (),
    ),
}


@pytest.mark.parametrize("what", MENDED)
def test_one_click_mends(what):
    parts, rules = MENDED[what]
    text = rubric(parts, rules=rules)
    finding = only(text)
    assert finding.mend.place == finding.place
    assert lint(mended(text, finding)) == ()


def rules_found(*sections, **sheet):
    return [f.rule for f in lint(rubric(*sections, **sheet))]


def test_points_of_0_are_no_waste_where_something_else_weighs():
    at_least = {
        "key": "r",
        "kind": "at_least",
        "count": 1,
        "of": ["a", "b"],
        "text": "R",
    }
    levels = [{"label": "no", "credit": 0}, {"label": "yes", "credit": 1}]
    nothing = [element("a", points=0), element("b")]
    assert rules_found(nothing, rules=[{**at_least, "effect": "fail"}]) == []
    assert rules_found(nothing, rules=[{**at_least, "effect": "flag"}]) == [
        "weighs-nothing"
    ]
    assert rules_found([element("a", points=0, levels=levels), element("b")]) == []
    assert (
        rules_found(
            [element("a", points=0, critical="flag", expects="E"), element("b")]
        )
        == []
    )


def test_a_critical_says_under_expects_why_it_is_one():
    critical = element("a", critical="fail")
    assert rules_found([critical, element("b")]) == ["critical-without-reason"]
    assert (
        rules_found([{**critical, "expects": "Before any touch"}, element("b")]) == []
    )


@pytest.mark.parametrize(
    "other",
    [
        grid("h", sides=["left"], sites=["mitral area"]),  # the body has it on one side
        grid("h", sides=[], sites=["chin"], text="Palpates the {site}"),
        grid("h", sides=["left", "right"]),
    ],
)
def test_a_side_is_not_missed_where_there_is_none(other):
    assert rules_found([grid("g"), other]) == []


def test_a_side_in_a_grid_of_its_own_is_not_missed():
    parts = [
        grid("g", sites=["a"]),
        grid("h", sides=["left"]),
        grid("i", sides=["right"]),
    ]
    assert rules_found(parts) == []


BEFORE = {
    "key": "r",
    "kind": "before",
    "first": ["g.*"],
    "then": ["h.*"],
    "effect": "flag",
    "text": "R",
}


def test_arms_before_feet_means_both_arms():
    feet = grid("h", sites=["dorsalis pedis"])
    assert rules_found([grid("g", sites=["radial"]), feet], rules=[BEFORE]) == []
    assert rules_found([grid("g", sites=["popliteal"]), feet], rules=[BEFORE]) == [
        "order-by-side"
    ]


def test_sections_one_after_the_other_are_no_matter_of_sides():
    assert rules_found([grid("g")], [grid("h")], rules=[BEFORE]) == []


def test_an_order_with_one_element_of_no_side_cannot_be_read_by_side():
    rule = {**BEFORE, "first": ["g.*", "a"]}
    finding = only(rubric([element("a"), grid("g"), grid("h")], rules=[rule]))
    assert (finding.rule, finding.mend) == ("order-by-side", None)


def test_an_order_that_is_read_by_side_already_is_in_order():
    assert rules_found([grid("g"), grid("h")], rules=[{**BEFORE, "per": "side"}]) == []


def critical(key, **fields):
    return element(key, critical="fail", expects="E", **fields)


def test_a_section_with_most_criticals_and_few_points_stands_out():
    first = [critical(f"a{n}") for n in range(3)]
    second = [critical("b"), *(element(f"c{n}") for n in range(6))]
    finding = only(rubric(first, second))
    assert (finding.rule, finding.place) == ("most-criticals", ("sections", 0))
    assert finding.words == "Part 0 carries 3 of 10 points (30%) and 3 of 4 criticals."


def test_just_under_half_of_the_points_is_still_out_of_proportion():
    first = [critical("a0", points=4), critical("a1"), critical("a2")]
    second = [critical("b"), *(element(f"c{n}") for n in range(6))]
    assert rules_found(first, second) == ["most-criticals"]


def test_equal_elements_decide_nothing_alone_however_few():
    assert rules_found([element(f"k{n}") for n in range(3)]) == []


def test_most_criticals_with_most_points_are_in_proportion():
    first = [critical(f"a{n}", points=3) for n in range(3)]
    second = [critical("b"), *(element(f"c{n}") for n in range(6))]
    assert rules_found(first, second) == []
    assert rules_found(first[:2], second) == []  # three criticals are too few to tell


@pytest.mark.parametrize(("elements", "found"), [(30, []), (31, ["too-many-a-minute"])])
def test_more_than_ten_elements_a_minute_are_too_many(elements, found):
    within = {"key": "w", "kind": "within", "minutes": 3, "effect": "flag", "text": "W"}
    assert (
        rules_found([element(f"k{n}") for n in range(elements)], rules=[within])
        == found
    )


@pytest.mark.parametrize(
    ("elements", "found"), [(200, []), (201, ["too-many-a-minute"])]
)
def test_without_a_limit_an_exam_lasts_20_minutes(elements, found):
    assert rules_found([element(f"k{n}") for n in range(elements)]) == found


@pytest.mark.parametrize(
    ("points", "found"),
    [(3, []), (4, ["one-decides"])],  # 9 of 12 is 75%, the pass mark; 9 of 13 is less
)
def test_an_element_without_which_nobody_passes_decides(points, found):
    parts = [element("a", points=points), *(element(f"b{n}") for n in range(9))]
    assert rules_found(parts) == found
    assert (
        rules_found([{**parts[0], "critical": "fail", "expects": "E"}, *parts[1:]])
        == []
    )


def test_words_of_another_language_are_left_alone():
    parts = [element("a", "Puls links und rechts and right")]
    assert rules_found(parts, language="de") == []
    assert rules_found(parts, language="en-GB") == ["no-verb"]


def test_two_behaviours_are_named():
    finding = only(
        rubric([element("a", "Cleans hands and puts on gloves"), element("b")])
    )
    assert finding.words.startswith("Two things in one ('and puts')")


@pytest.mark.parametrize(
    ("effect", "found"), [("fail", ["most-criticals"]), ("flag", [])]
)
def test_a_rule_within_one_section_is_one_of_its_criticals(effect, found):
    first = [critical(f"a{n}") for n in range(2)]
    second = [critical("b"), *(element(f"c{n}") for n in range(6))]
    rule = {"key": "r", "kind": "at_least", "count": 1, "of": ["a0"], "text": "R"}
    assert rules_found(first, second, rules=[{**rule, "effect": effect}]) == found


def test_a_key_of_ones_own_passes_over_those_that_are_taken():
    text = rubric([element("a"), element("a"), element("a-2")])
    (finding,) = [f for f in lint(text) if f.key == "key"]
    assert finding.mend.fields == {"key": "a-3"}


def test_a_selector_is_not_mended_to_one_that_stands_beside_it():
    rule = {"key": "r", "kind": "at_least", "count": 1, "of": ["neck.a", "neck.aa"]}
    rule |= {"effect": "flag", "text": "One of them"}
    (finding,) = [
        f for f in lint(rubric([element("neck.a")], rules=[rule])) if f.key == "of"
    ]
    assert finding.mend is None


def test_where_all_is_needed_no_smaller_weight_helps():
    parts = [*(element(f"k{n}") for n in range(4)), element("big", points=9)]
    (finding,) = [
        f
        for f in lint(rubric(parts, pass_percent=100))
        if f.rule == "one-decides" and f.place[-1] == 4
    ]
    assert finding.mend is None
