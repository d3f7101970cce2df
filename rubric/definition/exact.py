"""JSON whose numbers stay the digits they were written in."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, NoReturn

from rubric.definition.fields import CONTROL


class Number(str):
    """A JSON number as written: 0.10 stays 0.10, and no digit is ever lost."""

    __slots__ = ()


# None, bool, str, Number, lists and dicts of them; int where we count ourselves.
Json = Any

_ESCAPED = re.compile(f"[{CONTROL}\ufdd0-\ufdef]")
_TYPED = re.compile(r"(-?)([0-9]{0,40})(?:\.([0-9]{0,40}))?")


def loads(text: str | bytes) -> Json:
    """The value that the JSON says. Raises ValueError where it is not JSON."""
    try:
        return json.loads(
            text, parse_int=Number, parse_float=Number, parse_constant=_refuse
        )
    except RecursionError:
        raise ValueError("lists and keys lie too deep within each other") from None


def dumps(value: Json) -> str:
    """The JSON of the value, on one line; what no text may hold is escaped in it."""
    if isinstance(value, Number):
        return str(value)
    if isinstance(value, str):
        return quote(value)
    if value is None or isinstance(value, bool | int):
        return json.dumps(value)
    if isinstance(value, Mapping):
        pairs = (f"{quote(key)}:{dumps(inner)}" for key, inner in value.items())
        return "{" + ",".join(pairs) + "}"
    if isinstance(value, Sequence):
        return "[" + ",".join(map(dumps, value)) + "]"
    raise TypeError(f"{type(value).__name__} is not JSON")


def quote(text: str) -> str:
    quoted = json.dumps(text, ensure_ascii=False)
    return _ESCAPED.sub(lambda found: f"\\u{ord(found.group()):04x}", quoted)


def number(value: Json) -> Json:
    """What was typed as a number, if it is one: " .50" becomes 0.50; all else stays."""
    if not isinstance(value, str) or isinstance(value, Number):
        return value
    typed = _TYPED.fullmatch(value.strip())
    if not typed or not (typed[2] or typed[3]):
        return value
    whole = typed[2].lstrip("0") or "0"
    return Number(typed[1] + whole + (f".{typed[3]}" if typed[3] else ""))


def for_browser(value: Json) -> Json:
    """The value for a reader whose numbers are floating point (RFC 8259, section 6):
    a number that would lose digits there goes as a text of its digits.
    """
    if isinstance(value, Number):
        return _as_float(value)
    if isinstance(value, dict):
        return {key: for_browser(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [for_browser(inner) for inner in value]
    return value


def is_deeper(value: Json, most: int) -> bool:
    """Whether lists and keys lie more than `most` deep within each other."""
    if not isinstance(value, dict | list):
        return False
    inner = value.values() if isinstance(value, dict) else value
    return most == 0 or any(is_deeper(item, most - 1) for item in inner)


def _as_float(number: Number) -> float | int | str:
    if re.fullmatch(r"-?[1-9][0-9]{0,14}|0", number):
        return int(number)
    if re.fullmatch(r"-?[0-9]{1,10}\.[0-9]{1,14}", number):
        near = float(number)
        if Decimal(repr(near)) == Decimal(number):
            return near
    return str(number)


def _refuse(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")
