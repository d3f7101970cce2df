"""The text of a file into a tree: JSON by a small reader, all else by ruamel.yaml.

JSON is YAML too, but a reader for JSON alone is many times as fast, and marks files
and stored editions are JSON. It reports nothing: what it cannot read goes to the
YAML reader, which says what is wrong.
"""

from __future__ import annotations

import json
import re
from typing import Any

from rubric.definition.tree import Mapping, Sequence, Stop, Tree
from rubric.faults import quoted

# Reading YAML takes 5 microseconds a character and 70 a value (JSON: 0.3 and 10), so
# that more than this would take long, whatever it holds. An exam of 100 elements has
# 40 000 characters.
MOST_YAML = 250_000
# Tags, anchors, aliases and directives are refused, but only once they are read to
# their end, at twice the time of other text.
_ENDLESS = re.compile(r"(?:^|[\s,\[{])[!&*%]\S{300}", re.MULTILINE)
_JSON_TOKEN = re.compile(r'"((?:[^"\\]|\\.)*+)"|([^\s"{}\[\],:]++)|([{}\[\]])')


def read_json(text: str, tree: Tree) -> bool:
    """Fill the tree; False, and nothing in it, where the text is not JSON."""
    try:
        json.loads(text, parse_int=str, parse_float=str)
    except (ValueError, RecursionError):
        return False
    line, counted = 1, 0
    for token in _JSON_TOKEN.finditer(text):
        line += text.count("\n", counted, token.start())
        counted = token.start()
        string, bare, bracket = token.groups()
        if string is not None:
            value = json.loads(token.group()) if "\\" in string else string
            if tree.wants_key:
                tree.key(line, value)
            else:
                tree.scalar(line, value, plain=False)
        elif bare:
            tree.scalar(line, bare, plain=True)
        elif bracket in "}]":
            tree.close()
        else:
            tree.open(Mapping(line, {}) if bracket == "{" else Sequence(line, []))
    return True


def read_yaml(text: str, tree: Tree, stop: Stop) -> None:
    """Fill the tree with the one YAML document, or `stop` at what cannot be read."""
    from ruamel.yaml import YAML  # 50 ms that a JSON file need not wait for
    from ruamel.yaml.error import MarkedYAMLError

    line = 1
    if endless := _ENDLESS.search(text):
        at = text.count("\n", 0, endless.end()) + 1
        stop(
            at,
            "a word of more than 300 characters begins with ! & * or %",
            "text in quotes",
        )
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            line = event.start_mark.line + 1
            is_end = type(event).__name__.endswith("EndEvent")
            if event.start_mark.index > MOST_YAML and not is_end:
                what = f"the file holds more than {MOST_YAML} characters of YAML"
                stop(line, what, f"at most {MOST_YAML}, or all of it as JSON")
            _take(event, line, tree, stop)
    except MarkedYAMLError as error:
        stop(*_syntax_fault(error, line))
    except (ValueError, OverflowError):  # an escape such as "\\U99999999"
        stop(
            line,
            "the value that follows has a \\ escape of no character",
            "\\n, \\t, \\u and four digits",
        )


def _take(event: Any, line: int, tree: Tree, stop: Stop) -> None:
    """Let one event of the YAML reader grow the tree."""
    kind = type(event).__name__
    if getattr(event, "anchor", None):
        stop(
            line,
            f"{quoted(event.anchor)} is an anchor or alias (& or *)",
            "values written out",
        )
    if getattr(event, "tag", None):
        stop(line, f"{quoted(str(event.tag))} is a tag (!)", "values without tags")
    match kind:
        case "ScalarEvent" if tree.wants_key:
            tree.key(line, event.value)
        case "ScalarEvent":
            tree.scalar(line, event.value, plain=event.style is None)
        case "MappingStartEvent" | "SequenceStartEvent":
            if tree.wants_key:
                stop(
                    line,
                    "a key is itself a list or a group of keys",
                    "a key of one word",
                )
            tree.open(
                Mapping(line, {}) if kind == "MappingStartEvent" else Sequence(line, [])
            )
        case "MappingEndEvent" | "SequenceEndEvent":
            tree.close()
        case "DocumentStartEvent" if tree.root is not None:
            stop(line, "a second document begins", "one document in a file")


# What the YAML reader says (a part of it): where the fault lies, what is wrong, what is allowed.
_IN_PLAIN_WORDS = (
    ("'\\t'", "problem", "a tab stands where a line is set in", "spaces"),
    (
        "mapping values",
        "problem",
        "a ': ' is not expected here",
        "text that holds ': ' in quotes; keys of one group set in alike",
    ),
    (
        "sequence entries",
        "problem",
        "a '- ' is not expected here",
        "each item of a list on a line of its own",
    ),
    (
        "<block end>",
        "problem",
        "this does not line up with what stands above",
        "keys of one group, and items of one list, set in alike",
    ),
    ("expected ':'", "context", "a key is not followed by ': '", "'key: value'"),
    ("end of stream", "context", "a quote opens and does not close", "a closing quote"),
    (
        "expected ','",
        "problem",
        "a comma or a closing bracket is missing",
        "items parted by commas, the bracket closed",
    ),
    (
        "cannot start",
        "problem",
        "a value begins with a sign that YAML keeps for itself",
        "such text in quotes",
    ),
)


def _syntax_fault(error: Any, last_line: int) -> tuple[int, str, str]:
    problem = str(error.problem)
    for said, place, what, allowed in _IN_PLAIN_WORDS:
        if said in problem:
            mark = error.context_mark if place == "context" else error.problem_mark
            return mark.line + 1, what, allowed
    mark = error.problem_mark
    return (mark.line + 1 if mark else last_line), f"not YAML or JSON: {problem}", ""
