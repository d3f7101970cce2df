"""The figures that a text names: numbers with their unit, as ranges and limits."""

import re
from decimal import Decimal
from typing import NamedTuple

# Numbers that are part of a name: heart sounds, square metres.
NAMES = re.compile(r"\bS[1-4]\b|kg/m2")
NUMBER = r"\d+(?:\.\d+)?"
UNIT = r"mmHg/s|mmHg|/min\b|min\b|degrees|cm H2O|cm\b|mm\b|m\b|%|Hz|s\b|C\b|o'clock|(?:st|nd|rd|th)\b|\+"
FIGURE = re.compile(
    rf"(?P<before>[Uu]p to |[Ll]ess than |[Mm]ore than |[Ww]ithin |[Gg]rade |[Ss]cale of )?"
    rf"(?P<low>{NUMBER})(?: to (?P<high>{NUMBER}))?(?: ?(?P<unit>{UNIT}))?"
    rf"(?P<after> or (?:less|more)\b)?"
)


class Figure(NamedTuple):
    """From low to high in a unit; None where the figure is a limit with one side."""

    low: Decimal | None
    high: Decimal | None
    unit: str


def figures(text):
    """Every figure of the text; ValueError where a number has no unit.

    >>> figures("Up to 2 mm; 60 to 100/min")
    [Figure(low=None, high=Decimal('2'), unit='mm'), Figure(low=Decimal('60'), high=Decimal('100'), unit='/min')]
    """
    return [_figure(found) for found in FIGURE.finditer(NAMES.sub("", text))]


def _figure(found):
    before, after = (found[part] or "" for part in ("before", "after"))
    word = before.strip().lower()
    unit = word if word in ("grade", "scale of") else found["unit"]
    if not unit:
        raise ValueError(f"'{found.group()}' has no unit in '{found.string}'")
    low = Decimal(found["low"])
    high = Decimal(found["high"] or found["low"])
    if not found["high"] and (
        word in ("up to", "less than", "within") or "less" in after
    ):
        return Figure(None, high, unit)
    if not found["high"] and (word == "more than" or "more" in after):
        return Figure(low, None, unit)
    return Figure(low, high, "th" if unit in ("st", "nd", "rd") else unit)
