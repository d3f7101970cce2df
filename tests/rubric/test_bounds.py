"""Each bound of a rubric file: its ends are taken, just outside is a fault."""

import pytest

from rubric.definition import read
from tests.rubric.files import changed, faults_of

# old, new with a {}, taken, refused
NUMBERS = [
    (
        "pass_percent: 75",
        "pass_percent: {}",
        ["0", "1", "100", "1e2", "-0"],
        ["-1", "100.1", "-0.001"],
    ),
    (
        "unseen_limit_percent: 10",
        "unseen_limit_percent: {}",
        ["0", "1", "100"],
        ["-1", "100.5"],
    ),
    (
        "credit: {partly: 0.5",
        "credit: {{partly: {}",
        ["0", "1", "0.0"],
        ["-0.1", "1.01", "2"],
    ),
    ("0.5, said: 0}", "0.5, said: {}}}", ["0", "1"], ["-1", "1.5"]),
    ("minimum_percent: 50", "minimum_percent: {}", ["0", "1", "100"], ["-1", "101"]),
    (
        "points: 2\n",
        "points: {}\n",
        ["0", "1", "10000", "1e4"],
        ["-1", "10000.5", "1e5"],
    ),
    ("credit: {said: 1}", "credit: {{said: {}}}", ["0", "1"], ["-1", "2"]),
    ("critical: fail", "critical: {{cap: {}}}", ["0", "1", "100"], ["-1", "101"]),
    ("critical: fail", "critical: {{deduct: {}}}", ["0", "1", "100"], ["-1", "101"]),
    ("points: 1 ", "points_shared: {} ", ["0", "1", "10000"], ["-1", "10001"]),
    ("credit: 0}", "credit: {}}}", ["0", "0.5"], ["-1", "1.1"]),
    ("borderline: 2", "borderline: {}", ["1", "4", "2.0"], ["0", "5", "1.5"]),
    ("count: 3", "count: {}", ["1", "4", "4.0"], ["0", "5", "1001", "2.5", "-1"]),
    (
        "effect: {deduct: 5}",
        "effect: fail, slack_seconds: {}",
        ["0", "1", "3600"],
        ["-1", "3601"],
    ),
    ("minutes: 20", "minutes: {}", ["0", "1", "1440", "0.5"], ["-1", "1441"]),
]
TAKEN = [(old, new.format(n)) for old, new, taken, _ in NUMBERS for n in taken]
REFUSED = [(old, new.format(n)) for old, new, _, refused in NUMBERS for n in refused]


@pytest.mark.parametrize(("old", "new"), TAKEN)
def test_a_number_within_its_bounds_is_taken(old, new):
    assert read(changed((old, new)), "x")


@pytest.mark.parametrize(("old", "new"), REFUSED)
def test_a_number_outside_its_bounds_is_one_fault(old, new):
    (fault,) = faults_of(changed((old, new)))
    assert "; allowed: " in fault


def names(count):
    return "[" + ", ".join(f"n{n}" for n in range(count)) + "]"


# old, new with a {}, least and most items; the rules and texts leave the grid alone
LISTS = [
    ("say: [permission, film]", "say: {}", 0, 50),
    ("words: [well below, borderline, sound, excellent]", "words: {}", 3, 7),
    ("sites: [radial, dorsalis pedis]", "sites: {}", 1, 50),
    ("sides: [left, right]", "sides: {}", 0, 50),
    ("instruments: []", "instruments: {}", 0, 50),
]
LOOSE = changed(
    ("{site} pulse, {side}", "pulse"),
    ("count: 3", "count: 1"),
    ("first: [pulses.palpate.radial.*]", "first: [opening.*]"),
    ("then: [pulses.palpate.dorsalis-pedis.*]", "then: [manner.*]"),
)


@pytest.mark.parametrize(("old", "new", "least", "most"), LISTS)
def test_a_list_takes_its_least_and_most_items(old, new, least, most):
    assert read(changed((old, new.format(names(least))), text=LOOSE), "x")
    assert read(changed((old, new.format(names(most))), text=LOOSE), "x")


@pytest.mark.parametrize(("old", "new", "least", "most"), LISTS)
def test_a_list_beyond_its_bounds_is_one_fault(old, new, least, most):
    for count in {most + 1, least - 1} - {-1}:
        (fault,) = faults_of(changed((old, new.format(names(count))), text=LOOSE))
        assert f"is a list of length {count}; allowed: a list of " in fault


@pytest.mark.parametrize("levels", [2, 7])
def test_levels_are_two_to_seven(levels):
    text = with_levels(levels)
    assert len(read(text, "x").elements[0].levels) == levels


@pytest.mark.parametrize("levels", [0, 1, 8])
def test_fewer_or_more_levels_are_a_fault(levels):
    assert faults_of(with_levels(levels)) == [
        f"20: levels is a list of length {levels}; allowed: a list of 2 to 7 items"
    ]


def with_levels(count):
    levels = ", ".join(f"{{label: l{n}, credit: 1}}" for n in range(count))
    return changed(("critical: fail ", f"levels: [{levels}] "))


LENGTHS = [
    ("title: Two-minute pulse check", "title: ", 200),
    ("key: length", "key: ", 200),
    ("text: Asks permission to record", "text: ", 2000),
    ("expects: States that permission was given", "expects: ", 2000),
    ("label: explains every step", "label: ", 200),
]


@pytest.mark.parametrize(("old", "new", "longest"), LENGTHS)
def test_a_text_has_a_greatest_length(old, new, longest):
    assert read(changed((old, new + "x" * longest)), "x")
    (fault,) = faults_of(changed((old, new + "x" * (longest + 1))))
    assert fault.endswith(f"has {longest + 1} characters; allowed: at most {longest}")


def test_decimal_places_are_at_most_20():
    taken = "0." + "0" * 19 + "1"
    assert read(changed(("points: 2\n", f"points: {taken}\n")), "x")
    assert faults_of(changed(("points: 2\n", f"points: {taken}1\n"))) == [
        "19: points is 0.000000000000000000011; allowed: at most 20 decimal places"
    ]


def test_a_section_has_at_most_1000_parts_and_a_rubric_100_sections_and_200_rules():
    parts = ", ".join(["0"] * 1001)
    assert faults_of(
        changed(("    grids: ", f"    elements: [{parts}]\n    grids: "))
    ) == [
        "28: elements is a list of length 1001; allowed: a list of at most 1000 items"
    ]
    rules = ", ".join(["0"] * 201)
    assert faults_of(changed(("rules:\n", f"rules: [{rules}]\nrule:\n")))[0] == (
        "47: rules is a list of length 201; allowed: a list of at most 200 items"
    )
    sections = ", ".join(["0"] * 101)
    assert faults_of(changed(("sections:\n", f"sections: [{sections}]\nsection:\n")))[
        0
    ] == ("11: sections is a list of length 101; allowed: a list of 1 to 100 items")
