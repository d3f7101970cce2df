"""What lint finds: one thing, in one place, with a mend where there is one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rubric.faults import Place

# What stands in a file: numbers as text where a float could not say them exactly.
Value = str | int | bool | list["Value"] | dict[str, "Value"] | None


@dataclass(frozen=True)
class Mend:
    """Setting these keys there, None taking one away, mends what was found."""

    words: str
    place: Place
    fields: Mapping[str, Value]


@dataclass(frozen=True)
class Finding:
    """What is wrong (`must`: no edition can be made with it) or worth a look (`look`).

    `rule` names the kind of finding, `place` the part of the rubric, `key` which of its
    keys, None for the part as a whole. `words` are whole sentences for the author, and
    `where` is what the part calls itself. A mend is always made in the finding's place.
    `node` is for a page to say which of its parts that is.
    """

    weight: Literal["must", "look"]
    rule: str
    place: Place
    key: str | None
    words: str
    mend: Mend | None = None
    where: str = ""
    node: str = ""


# What a list of findings of one rule is headed with.
HEADINGS = {
    "error": "Not yet right",
    "weighs-nothing": "Weighs nothing",
    "critical-without-reason": "Critical, without a reason",
    "side-missing": "A side is missing",
    "two-behaviours": "Two things in one",
    "no-verb": "Nothing to see or hear",
    "no-source": "No source",
    "order-by-side": "Order broken by doing one side first",
    "most-criticals": "Most criticals in one section",
    "too-many-a-minute": "More than can be marked",
    "one-decides": "One element decides",
}


def advice(
    rule: str, place: Place, key: str | None, words: str, mend: Mend | None = None
) -> Finding:
    return Finding("look", rule, place, key, words, mend)
