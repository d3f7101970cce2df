"""Spoils rubric files at random and sees that each is read, or refused with its faults.

`python -m tests.rubric.fuzz 60` goes on for 60 seconds; a file that breaks something is
written to the current directory. The suite does a few hundred.
"""

import io
import json
import random
import signal
import sys
import tempfile
import time
from copy import deepcopy
from pathlib import Path

from rubric.definition import read, write_json, write_yaml
from rubric.definition.lint import HEADINGS, lint, part_at
from rubric.definition.listing import listing
from rubric.definition.weights import weigh
from rubric.faults import Faults
from rubric.management.commands.rubric import check
from tests.rubric.files import PULSE_CHECK

LONGEST = 30  # seconds for one file, on a busy machine
SHORT = """\
format: bellside-rubric/1
title: One thing
pass_percent: 60
sections:
  - {key: a, title: A, elements: [{key: a.b, text: Washes hands, technique: perform, points: 1}]}
"""
SEEDS = [PULSE_CHECK, SHORT, write_json(read(PULSE_CHECK, "x"))]
PIECES = [
    *"[]{},:-?&*!|>%@`'\"#\\ \n\t\0",
    *(
        "- ",
        ": ",
        "? ",
        "---\n",
        "...\n",
        "<<: ",
        "&a ",
        "*a",
        "!!x ",
        "|2\n",
        ">-\n",
        "~",
    ),
    *(
        "null",
        "true",
        "1e9",
        ".inf",
        "-0",
        "0x1F",
        "99999999999999999999999",
        "[[[[[[[[[[[[[[",
    ),
    *("é", "😀", "\u2028", "\ufeff", "\x85", "\r", "é\u0301", "ß", "İ"),
    *("sections:", "key: a", "points: 1", "levels: []", "of: ['a.*']", "per: side"),
]
VALUES = [
    *(
        None,
        True,
        -1,
        0,
        0.5,
        10**30,
        "",
        " ",
        "a",
        "a.*",
        "*",
        "A b",
        "1",
        "fail",
        "x" * 3000,
    ),
    *(
        [],
        [[]],
        {},
        {"cap": 1},
        {"cap": 101},
        [0],
        ["a", "a"],
        {"key": "a"},
        ["left", "right"],
    ),
]


def spoilt(dice):
    """The bytes of a rubric file with one to five things changed."""
    text = dice.choice(SEEDS)
    if text.startswith("{") and dice.random() < 0.7:
        return json.dumps(changed_values(dice, json.loads(text))).encode()
    for _ in range(dice.randint(1, 5)):
        at = dice.randrange(len(text) + 1)
        to = min(len(text), at + dice.choice([0, 1, 2, 10, 100]))
        piece = dice.choice(
            [dice.choice(PIECES), text[at:to] * 2, "".join(dice.choices(PIECES, k=4))]
        )
        text = text[:at] + piece * dice.choice([1, 1, 1, 30]) + text[to:]
    data = text.encode("utf-8", "surrogatepass")
    if dice.random() < 0.1 and data:
        at = dice.randrange(len(data))
        data = data[:at] + bytes([dice.randrange(256)]) + data[at + 1 :]
    return data


def changed_values(dice, document):
    """Some values of a JSON document put in place of others, taken out, or twice there."""
    for _ in range(dice.randint(1, 4)):
        node = document
        while True:
            places = list(node) if isinstance(node, dict) else range(len(node))
            if not places:
                break
            place = dice.choice(list(places))
            inner = node[place]
            if isinstance(inner, dict | list) and inner and dice.random() < 0.8:
                node = inner
                continue
            if dice.random() < 0.2:
                del node[place]
            elif isinstance(node, list) and dice.random() < 0.5:
                node.insert(0, deepcopy(inner))
            else:
                node[place] = deepcopy(dice.choice(VALUES))
            break
    return document


def holds(data, folder):
    """All that has to be true of any file, right or wrong."""
    try:
        definition = read(data, "x")
    except Faults as found:
        definition, faults = None, found.faults
    else:
        faults = ()
        assert read(write_json(definition), "x") == definition
        assert read(write_yaml(definition), "x") == definition
        assert listing(definition)
        assert 0 <= weigh(definition).chance <= 1
    assert all(str(fault).isprintable() for fault in faults)

    findings = lint(data.decode("utf-8", "replace"))
    if _is_utf_8(data):
        assert sum(finding.weight == "must" for finding in findings) == len(faults)
    for finding in findings:
        assert finding.rule in HEADINGS
        assert finding.words
        assert finding.where
        assert (
            definition is None
            or not finding.place
            or part_at(definition, finding.place)
        )

    path = Path(folder) / "fuzz.yaml"
    path.write_bytes(data)
    out, err = io.StringIO(), io.StringIO()
    assert check([str(path)], out, err) == (2 if faults else 0)
    assert err.getvalue().count("\n") == len(faults)
    assert bool(out.getvalue()) != bool(faults)


def _is_utf_8(data):
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def main(seconds, seed):
    """Spoil files until the time is up; the exit status is 1 once one breaks something."""
    dice = random.Random(seed)  # noqa: S311 - no secret
    end, tried, longest = time.monotonic() + seconds, 0, 0.0
    with tempfile.TemporaryDirectory() as folder:
        while time.monotonic() < end:
            data = spoilt(dice)
            began = time.monotonic()
            signal.alarm(LONGEST)
            try:
                holds(data, folder)
            except BaseException:
                Path("fuzz-broke.yaml").write_bytes(data)
                print(f"seed {seed}, file {tried}: fuzz-broke.yaml", file=sys.stderr)  # noqa: T201
                raise
            finally:
                signal.alarm(0)
            tried += 1
            longest = max(longest, time.monotonic() - began)
    told = f"{tried} files, none broke anything, the longest took {longest:.2f} s"
    print(f"seed {seed}: {told}")  # noqa: T201


def _too_long(*_):
    raise TimeoutError(f"one file took more than {LONGEST} s")


if __name__ == "__main__":
    signal.signal(signal.SIGALRM, _too_long)
    given = [float(argument) for argument in sys.argv[1:]]
    main(
        given[0] if given else 60, int(given[1]) if len(given) > 1 else int(time.time())
    )
