"""What a change says, read strictly: each value is as it must be, or there are words."""

from __future__ import annotations

import re

from rubric.definition.draft import FIELDS, KINDS, RULES, SECTIONS, Kind
from rubric.definition.exact import Json, Number, dumps, is_deeper
from rubric.definition.typed import typed

LONGEST_VALUE = 20_000  # characters of a field's JSON; a long text has 2 000
DEEPEST_VALUE = 4
KINDS_ADDED: dict[str, Kind] = {kind: kind for kind in KINDS if kind != "sheet"}

_CHANGE_ID = re.compile(r"[A-Za-z0-9-]{16,64}")
_NODE_ID = re.compile(r"[A-Za-z0-9-]{1,40}")


class Unreadable(ValueError):  # noqa: N818 (named as the claim it makes)
    """Changes that cannot be answered one by one; the message says what they must be."""


class Refused(Exception):  # noqa: N818 (no error: an answer)
    """Why one change is not made, in words."""


def id_of(change: Json) -> str:
    """The change's own id. Raises Unreadable where there is none to answer by."""
    ident = change.get("id") if isinstance(change, dict) else None
    if type(ident) is str and _CHANGE_ID.fullmatch(ident):
        return ident
    raise Unreadable(
        "Each change must be an object with an id of 16 to 64 letters, digits and hyphens."
    )


def text_of(change: dict[str, Json], name: str) -> str:
    value = change.get(name)
    if type(value) is not str:
        raise Refused(f"{name} must be a text")
    return value


def node_of(change: dict[str, Json], name: str) -> str:
    """The id of a node, be there one or not."""
    value = text_of(change, name)
    if not _NODE_ID.fullmatch(value) or value in (SECTIONS, RULES):
        raise Refused(f"{name} must be 1 to 40 letters, digits and hyphens")
    return value


def base_of(change: dict[str, Json], newest: int) -> int:
    """The version on which the change's maker stood, at most the draft's own."""
    base = change.get("base")
    if type(base) not in (Number, int) or not re.fullmatch("[0-9]{1,15}", str(base)):
        raise Refused("base must be a version of the draft, a whole number")
    version = int(str(base))
    if version > newest:
        raise Refused(
            f"base is {version}, but the draft is at version {newest}; load the page anew"
        )
    return version


def fields_of(kind: Kind, change: dict[str, Json]) -> dict[str, Json]:
    """The fields, right or wrong, with what was typed as a number made one."""
    fields = change.get("fields", {})
    if not isinstance(fields, dict):
        raise Refused("fields must be an object")
    for name, value in fields.items():
        if name not in FIELDS[kind]:
            allowed = ", ".join(FIELDS[kind])
            raise Refused(f"the fields of this kind ({kind}) are {allowed}")
        if is_deeper(value, DEEPEST_VALUE):
            raise Refused(f"{name} has lists or keys too deep within each other")
        if len(dumps(value)) > LONGEST_VALUE:
            raise Refused(f"{name} is longer than {LONGEST_VALUE} characters")
    return {name: typed(name, value) for name, value in fields.items()}
