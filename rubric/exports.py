"""Rubrics as files to keep, to send on and to bring in again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from django.utils.text import slugify

from rubric.definition import Definition, Draft, write_json, write_yaml
from rubric.definition.exact import Json, dumps, loads
from rubric.faults import Fault, Faults

Kind = Literal["yaml", "json"]
# RFC 9512 and RFC 8259.
CONTENT_TYPES: dict[Kind, str] = {
    "yaml": "application/yaml",
    "json": "application/json",
}
LONGEST_NAME = 80  # characters before the ending; some disks stop at 255 bytes
MOST_TOLD = 50  # faults
_LISTS = ("sections", "rules")


@dataclass(frozen=True)
class Exported:
    """A file: its name (letters, digits and hyphens) and its text."""

    name: str
    text: str


def exported(definition: Definition, title: str, which: str, kind: Kind) -> Exported:
    """A rubric that is whole: reading the file gives the same definition."""
    text = write_yaml(definition) if kind == "yaml" else write_json(definition)
    return Exported(_name(title, which, kind), text)


def exported_draft(draft: Draft, title: str, kind: Kind) -> Exported:
    """A draft, whole or not.

    With faults it is what is there, key by key, and says so: in its name, and in YAML,
    which has comments, on top.
    """
    try:
        return exported(draft.definition(), title, "draft", kind)
    except Faults as found:
        text = "".join(f"{line}\n" for line in _as_it_stands(loads(draft.file())))
        if kind == "yaml":  # of which JSON is a part (YAML 1.2, section 1.3)
            text = _note(found.faults) + text
        return Exported(_name(title, "unfinished-draft", kind), text)


def _name(title: str, which: str, kind: Kind) -> str:
    stem = slugify(title)[:LONGEST_NAME].strip("-") or "rubric"
    return f"{stem}-{which}.{kind}"


def _note(faults: Sequence[Fault]) -> str:
    things = "1 thing has" if len(faults) == 1 else f"{len(faults)} things have"
    told = [
        str(replace(fault, file="", line=None)).removeprefix(": ")
        for fault in faults[:MOST_TOLD]
    ]
    lines = [
        "This draft is not finished and is exported as it stands.",
        f"Before it can be brought in again, {things} to be mended:",
        *(f"- {line}" for line in told),
    ]
    return "".join(f"# {line}\n" for line in lines)


def _as_it_stands(file: dict[str, Json]) -> Iterator[str]:
    """The draft's file with a line for each part and rule."""
    head = {key: value for key, value in file.items() if key not in _LISTS}
    yield f"{_spaced(head)[:-1]},"
    yield '"sections": ['
    for section, comma in _with_commas(file["sections"]):
        parts = section.pop("parts")
        yield f" {_spaced({**section, 'parts': []})[:-2]}"
        yield from (f"  {_spaced(part)}{more}" for part, more in _with_commas(parts))
        yield f" ]}}{comma}"
    yield "],"
    yield '"rules": ['
    yield from (f" {_spaced(rule)}{more}" for rule, more in _with_commas(file["rules"]))
    yield "]}"


def _spaced(value: Json) -> str:
    """JSON with a space after each comma and colon, so that its lines may be broken.

    The reader of YAML also refuses a word of hundreds of characters that looks like an
    anchor, as the rest of a line after "a & b" would without them.
    """
    if isinstance(value, Mapping):
        pairs = (f"{dumps(key)}: {_spaced(inner)}" for key, inner in value.items())
        return f"{{{', '.join(pairs)}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_spaced, value))}]"
    return dumps(value)


def _with_commas(items: Sequence[Json]) -> Iterator[tuple[Json, str]]:
    for number, item in enumerate(items, start=1):
        yield item, "," if number < len(items) else ""
