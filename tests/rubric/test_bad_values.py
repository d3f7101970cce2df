"""One change to the pulse check, one fault: its line and its exact words."""

import pytest

from rubric.definition import read
from tests.rubric.files import changed, faults_of

CHANGES = [
    (
        "format: bellside-rubric/1",
        "format: bellside-rubric/2",
        "1: format is 'bellside-rubric/2'; allowed: bellside-rubric/1",
    ),
    (
        "format: bellside-rubric/1\n",
        "",
        "1: a rubric lacks the key 'format'; allowed: format, title, pass_percent, sections (all needed)",
    ),
    (
        "title: Two-minute pulse check",
        "title: 2",
        "2: title is 2; allowed: text, in quotes where it looks like a number, true or false",
    ),
    ("title: Two-minute pulse check", "title:", "2: title is empty; allowed: text"),
    ("title: Two-minute pulse check", "title: ''", "2: title is empty; allowed: text"),
    (
        "title: Two-minute pulse check",
        "title: [a]",
        "2: title is a list; allowed: text",
    ),
    (
        "title: Two-minute pulse check",
        "title: {a: 1}",
        "2: title is a group of keys; allowed: text",
    ),
    (
        "title: Two-minute pulse check",
        'title: "a\\nb"',
        "2: title runs over several lines; allowed: one line",
    ),
    (
        "title: Two-minute pulse check",
        'title: "bell \\a"',
        "2: title holds the character U+0007; allowed: text without control characters",
    ),
    (
        "language: en",
        "language: English",
        "3: language is 'English'; allowed: a language tag such as en, de or pt-BR",
    ),
    (
        "language: en",
        "language: true",
        "3: language is true; allowed: text, in quotes where it looks like a number, true or false",
    ),
    (
        "pass_percent: 75",
        "pass_percent: '75'",
        "4: pass_percent is the text '75'; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 75%",
        "4: pass_percent is '75%'; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: true",
        "4: pass_percent is true; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: .nan",
        "4: pass_percent is .nan; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: .inf",
        "4: pass_percent is .inf; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: NaN",
        "4: pass_percent is 'NaN'; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 075",
        "4: pass_percent is 075; allowed: a number from 0 to 100, in plain decimals",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 0x4B",
        "4: pass_percent is 0x4B; allowed: a number from 0 to 100, in plain decimals",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 1_0",
        "4: pass_percent is '1_0'; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 1e999",
        "4: pass_percent is 1e999; allowed: a number from 0 to 100, in plain decimals",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 1e99",
        "4: pass_percent is 1e99; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent:",
        "4: pass_percent is empty; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: [75]",
        "4: pass_percent is a list; allowed: a number from 0 to 100",
    ),
    (
        "pass_percent: 75",
        "pass_percent: 75.000000000000000000001",
        "4: pass_percent is 75.000000000000000000001; allowed: at most 20 decimal places",
    ),
    (
        "unseen: exclude ",
        "unseen: excluded ",
        "6: unseen is 'excluded'; allowed: exclude, range (nearest: exclude)",
    ),
    (
        "unseen: exclude ",
        "unseen: [exclude] ",
        "6: unseen is a list; allowed: exclude, range",
    ),
    (
        "credit: {partly: 0.5, said: 0}",
        "credit: 0.5",
        "7: credit is 0.5; allowed: the keys partly, said",
    ),
    (
        "credit: {partly: 0.5, said: 0}",
        "credit: {partially: 0.5}",
        "7: credit has the unknown key 'partially'; allowed: partly, said (nearest: partly)",
    ),
    (
        "[well below, borderline, sound, excellent]",
        "[poor, good]",
        "9: words is a list of length 2; allowed: a list of 3 to 7 items",
    ),
    (
        "[well below, borderline, sound, excellent]",
        "[poor, good, good, best]",
        "9: words holds 'good' twice; allowed: each item once",
    ),
    (
        "[well below, borderline, sound, excellent]",
        "[a, b, '']",
        "9: an item in 'words' is ''; allowed: text",
    ),
    (
        "borderline: 2",
        "borderline: 1.5",
        "10: borderline is 1.5; allowed: a whole number from 1 to 4",
    ),
    (
        "  borderline: 2\n",
        "",
        "9: global_rating lacks the key 'borderline'; allowed: words, borderline (all needed)",
    ),
    (
        "key: opening\n",
        "key: Opening\n",
        "12: key is 'Opening'; allowed: lower-case words joined by -, parts joined by .",
    ),
    (
        "key: opening\n",
        "key: open_ing\n",
        "12: key is 'open_ing'; allowed: lower-case words joined by -, parts joined by .",
    ),
    (
        "key: opening\n",
        "key: opening.\n",
        "12: key is 'opening.'; allowed: lower-case words joined by -, parts joined by .",
    ),
    (
        "key: opening\n",
        "key: -opening\n",
        "12: key is '-opening'; allowed: lower-case words joined by -, parts joined by .",
    ),
    (
        "key: opening\n",
        "key: ope ning\n",
        "12: key is 'ope ning'; allowed: lower-case words joined by -, parts joined by .",
    ),
    (
        "    title: Opening\n",
        "",
        "12: a section lacks the key 'title'; allowed: key, title (all needed)",
    ),
    (
        "minimum_percent: 50 ",
        "minimum_percent: half ",
        "14: minimum_percent is 'half'; allowed: a number from 0 to 100",
    ),
    (
        "technique: ask",
        "technique: question",
        "18: technique is 'question'; allowed: inspect, palpate, percuss, auscultate, measure, ask, state, perform",
    ),
    (
        "critical: fail ",
        "critical: fatal ",
        "20: critical is 'fatal'; allowed: fail, flag, {cap: N} or {deduct: N}",
    ),
    (
        "critical: fail ",
        "critical: [fail] ",
        "20: critical is a list; allowed: fail, flag, {cap: N} or {deduct: N}",
    ),
    (
        "critical: fail ",
        "critical: {fail: 1} ",
        "20: critical has the unknown key 'fail'; allowed: cap, deduct",
    ),
    (
        "critical: fail ",
        "critical: {cap: 50, deduct: 5} ",
        "20: critical is a group of keys; allowed: fail, flag, {cap: N} or {deduct: N}",
    ),
    (
        "critical: fail ",
        "critical: {cap: all} ",
        "20: cap is 'all'; allowed: a number from 0 to 100",
    ),
    (
        "critical: fail ",
        "critical: ",
        "20: critical is empty; allowed: fail, flag, {cap: N} or {deduct: N}",
    ),
    (
        "may_excuse: false",
        "may_excuse: no",
        "24: may_excuse is 'no'; allowed: true or false",
    ),
    (
        "may_excuse: false",
        "may_excuse: 0",
        "24: may_excuse is 0; allowed: true or false",
    ),
    (
        "may_excuse: false",
        "may_excuse: 'false'",
        "24: may_excuse is the text 'false'; allowed: true or false",
    ),
    (
        "say: [permission, film]",
        "say: permission",
        "25: say is 'permission'; allowed: a list of at most 50 items",
    ),
    (
        "say: [permission, film]",
        "say: [permission, permission]",
        "25: say holds 'permission' twice; allowed: each item once",
    ),
    (
        "expects: States that permission was given",
        "expects: 5",
        "22: expects is 5; allowed: text, in quotes where it looks like a number, true or false",
    ),
    (
        "sites: [radial, dorsalis pedis]",
        "sites: []",
        "32: sites is a list of length 0; allowed: a list of 1 to 50 items",
    ),
    (
        "        sites: [radial, dorsalis pedis]\n",
        "",
        "29: a grid lacks the key 'sites'; allowed: key, text, technique, sites (all needed)",
    ),
    (
        "sides: [left, right]",
        "sides: [left, right!]",
        "33: an item in 'sides' is 'right!'; allowed: a name of letters, digits, spaces and single hyphens",
    ),
    (
        "sides: [left, right]",
        "sides: [left, ri  ght]",
        "33: an item in 'sides' is 'ri  ght'; allowed: a name of letters, digits, spaces and single hyphens",
    ),
    (
        "sides: [left, right]",
        "sides: [left, r.ight]",
        "33: an item in 'sides' is 'r.ight'; allowed: a name of letters, digits, spaces and single hyphens",
    ),
    (
        "points: 1 ",
        "points_shared: 4\n        points: 1 ",
        "29: a grid has both points and points_shared; allowed: one of them",
    ),
    (
        "        points: 1 ",
        "        ",
        "29: a grid has neither points nor points_shared; allowed: one of them",
    ),
    (
        "text: Palpates the {site} pulse, {side}",
        "text: Palpates the {site} pulse, {bell}",
        "30: text holds '{bell}', which is no axis of the grid; allowed: {site}, {side}",
    ),
    (
        "text: Palpates the {site} pulse, {side}",
        "text: Palpates {site} with the {instrument}",
        "30: text holds '{instrument}', which is no axis of the grid; allowed: {site}, {side}",
    ),
    (
        "text: Palpates the {site} pulse, {side}",
        "text: Palpates {site} and {",
        "30: text holds '{', which is no axis of the grid; allowed: {site}, {side}",
    ),
    (
        "        instruments: []",
        "        expects: At } least\n        instruments: []",
        "34: expects holds '}', which is no axis of the grid; allowed: {site}, {side}",
    ),
    (
        "{label: does not explain, credit: 0}",
        "does not explain",
        "44: a level is 'does not explain'; allowed: the keys label, credit",
    ),
    (
        "{label: does not explain, credit: 0}",
        "{label: does not explain}",
        "44: a level lacks the key 'credit'; allowed: label, credit (all needed)",
    ),
    (
        "credit: 0.5}\n",
        "credit: 1.5}\n",
        "45: credit is 1.5; allowed: a number from 0 to 1",
    ),
    (
        "kind: hazard",
        "kind: danger",
        "50: kind is 'danger'; allowed: at_least, before, hazard, within",
    ),
    (
        "kind: hazard, ",
        "",
        "50: a rule lacks the key 'kind'; allowed: key, kind, effect, text (all needed)",
    ),
    (
        "kind: hazard, ",
        "kind: hazard, minutes: 5, ",
        "50: a rule of kind hazard has the unknown key 'minutes'; allowed: key, kind, effect, text",
    ),
    (
        "count: 3, ",
        "",
        "48: a rule of kind at_least lacks the key 'count'; allowed: key, kind, effect, text, count, of (all needed)",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: pulses.palpate.*",
        "48: of is 'pulses.palpate.*'; allowed: a list of 1 to 100 items",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: ['*']",
        "48: an item in 'of' is '*'; allowed: a key, or the beginning of keys with .* after it",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: [pulses.pal*]",
        "48: an item in 'of' is 'pulses.pal*'; allowed: a key, or the beginning of keys with .* after it",
    ),
    (
        "of: [pulses.palpate.*]",
        "of: []",
        "48: of is a list of length 0; allowed: a list of 1 to 100 items",
    ),
    (
        "effect: {deduct: 5}",
        "per: day, effect: {deduct: 5}",
        "49: per is 'day'; allowed: site, side, instrument",
    ),
    (
        "minutes: 20, effect: flag",
        "minutes: 20",
        "51: a rule of kind within lacks the key 'effect'; allowed: key, kind, effect, text, minutes (all needed)",
    ),
]


@pytest.mark.parametrize(("old", "new", "expected"), CHANGES)
def test_a_wrong_value_is_named_with_its_line_and_what_is_allowed(old, new, expected):
    assert faults_of(changed((old, new))) == [expected]


def test_a_misspelt_key_is_named_with_the_nearest_and_the_missing_one_too():
    text = changed(("title: Opening", "titel: Opening"))
    assert faults_of(text) == [
        "12: a section lacks the key 'title'; allowed: key, title (all needed)",
        "13: a section has the unknown key 'titel'; allowed: key, title, minimum_percent, elements, grids, parts (nearest: title)",
    ]


def test_every_wrong_item_of_a_list_is_named():
    text = changed(("[left, right]", "[1, left, left, 'r/l']"))
    assert faults_of(text) == [
        "33: an item in 'sides' is 1; allowed: text, in quotes where it looks like a number, true or false",
        "33: sides holds 'left' twice; allowed: each item once",
        "33: an item in 'sides' is 'r/l'; allowed: a name of letters, digits, spaces and single hyphens",
    ]


def test_an_item_on_its_own_line_is_named_by_that_line():
    text = changed(
        ("[well below, borderline, sound, excellent]", "\n    - a\n    - b\n    - 3")
    )
    assert faults_of(text)[0].startswith("12: an item in 'words' is 3;")


def test_an_empty_note_is_as_good_as_none():
    text = changed(("source: Common practice", 'source: ""'))
    assert read(text, "x").elements[0].source == ""
