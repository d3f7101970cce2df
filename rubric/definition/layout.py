"""Lays out keys and values as YAML or JSON, with numbers exactly as decimals.

Both leave out what says nothing: None, False, empty texts, lists and groups of keys.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from rubric.definition.fields import MOST_PLACES, reads_as_text

WIDTH = 88

Value = str | int | Fraction | None | Sequence["Value"] | Mapping[str, "Value"]


class Inline(dict[str, Value]):
    """Keys that YAML has on one line, in braces, where they fit."""


# Text that YAML needs no quotes for: after a key, and between brackets.
_PLAIN = re.compile(r"\w[^:#\n]*")
_PLAIN_INLINE = re.compile(r"\w[^:#\n,\[\]{}]*")


def json_text(keys: Mapping[str, Value]) -> str:
    return _json(_written(keys), "") + "\n"


def yaml_text(keys: Mapping[str, Value]) -> str:
    return "".join(f"{line}\n" for line in _keys(_written(keys), WIDTH))


def decimal_text(number: Fraction) -> str:
    """The number in decimals: 0.5, 12. Raises ValueError where it does not end."""
    scaled = number * 10**MOST_PLACES
    if scaled.denominator != 1:
        raise ValueError(f"{number} has more than {MOST_PLACES} decimal places")
    whole, rest = divmod(abs(scaled.numerator), 10**MOST_PLACES)
    places = f"{rest:0{MOST_PLACES}}".rstrip("0")
    return ("-" if number < 0 else "") + str(whole) + (f".{places}" if places else "")


def _written(keys: Mapping[str, Value]) -> Mapping[str, Value]:
    """The keys without those that say nothing, all the way down."""
    kept: dict[str, Value] = Inline() if isinstance(keys, Inline) else {}
    for key, value in keys.items():
        inner = value
        if isinstance(value, Mapping):
            inner = _written(value)
        elif isinstance(value, Sequence) and not isinstance(value, str):
            inner = [_written(v) if isinstance(v, Mapping) else v for v in value]
        if not (inner is None or inner is False or inner in ("", [], {})):
            kept[key] = inner
    return kept


def _one_line(value: Value, quote: Callable[[str], str]) -> str:
    if isinstance(value, str):
        return quote(value)
    if isinstance(value, Mapping):
        pairs = (f"{quote(k)}: {_one_line(v, quote)}" for k, v in value.items())
        return f"{{{', '.join(pairs)}}}"
    if isinstance(value, Sequence):
        return f"[{', '.join(_one_line(v, quote) for v in value)}]"
    return "true" if value is True else decimal_text(Fraction(value or 0))


def _json(value: Value, indent: str) -> str:
    line = _one_line(value, _in_quotes)
    if isinstance(value, str) or len(indent + line) <= WIDTH:
        return line
    deeper = indent + "  "
    if isinstance(value, Mapping):
        pairs = [f"{_in_quotes(k)}: {_json(v, deeper)}" for k, v in value.items()]
        return _bracketed("{}", pairs, indent)
    items = value if isinstance(value, Sequence) else ()
    return _bracketed("[]", [_json(v, deeper) for v in items], indent)


def _bracketed(brackets: str, items: list[str], indent: str) -> str:
    inside = ",".join(f"\n{indent}  {item}" for item in items)
    return f"{brackets[0]}{inside}\n{indent}{brackets[1]}"


def _keys(keys: Mapping[str, Value], width: int) -> Iterator[str]:
    """The lines of keys and values in YAML, at most `width` long where they can be."""
    for key, value in keys.items():
        if isinstance(value, str) and "\n" in value:
            yield f"{key}: |-"
            yield from _set_in(value.split("\n"))
        elif line := _fitting(value, width - len(f"{key}: ")):
            yield f"{key}: {line}"
        else:
            yield f"{key}:"
            yield from _set_in(_lines(value, width - 2))


def _lines(value: Value, width: int) -> Iterator[str]:
    if isinstance(value, Mapping):
        yield from _keys(value, width)
        return
    for item in value if isinstance(value, Sequence) else ():
        line = _fitting(item, width - 2)
        first, *rest = [line] if line else _lines(item, width - 2)
        yield f"- {first}"
        yield from _set_in(rest)


def _set_in(lines: Iterable[str]) -> Iterator[str]:
    return (f"  {line}" if line else "" for line in lines)


def _fitting(value: Value, width: int) -> str | None:
    """The value on one line; None where it goes on lines of its own."""
    if isinstance(value, str):
        return _yaml_text(value, _PLAIN)
    line = _one_line(value, lambda text: _yaml_text(text, _PLAIN_INLINE))
    if isinstance(value, Mapping):
        return line if isinstance(value, Inline) and len(line) <= width else None
    if isinstance(value, Sequence):
        texts = all(isinstance(item, str) for item in value)
        return line if texts and len(line) <= width else None
    return line


def _yaml_text(text: str, plain: re.Pattern[str]) -> str:
    if plain.fullmatch(text) and reads_as_text(text):
        return text
    return _in_quotes(text)


def _in_quotes(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
