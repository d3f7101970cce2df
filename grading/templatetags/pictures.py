"""Puts a drawn picture on a page or into a PDF, with the colours of that place."""

from __future__ import annotations

from django import template
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from grading.pictures.bars import Bar
from grading.pictures.control import Control
from grading.pictures.funnel import Funnel
from grading.pictures.intervals import Intervals
from grading.pictures.spine import Spine
from grading.pictures.strip import Strip

register = template.Library()

TEMPLATES = {
    Bar: "grading/pictures/bars.svg",
    Control: "grading/pictures/control.svg",
    Funnel: "grading/pictures/funnel.svg",
    Intervals: "grading/pictures/intervals.svg",
    Spine: "grading/pictures/spine.svg",
    Strip: "grading/pictures/strip.svg",
}
PAGE = {
    "ink": "var(--ink)",
    "soft": "var(--ink-soft)",
    "rule": "var(--rule)",
    "accent": "var(--accent)",
    "sheet": "var(--sheet)",
    "partly": "var(--partly)",
    "said": "var(--said)",
    "missed": "var(--missed)",
    "unseen": "var(--unseen)",
    "font": "var(--sans)",
}
# WeasyPrint resolves no var() inside SVG: the light values of tokens.css, spelt out.
PRINT = {
    "ink": "#23262c",
    "soft": "#5b5e66",
    "rule": "#ddd6c6",
    "accent": "#2c4470",
    "sheet": "#fffdf8",
    "partly": "#7d5600",
    "said": "#5b3f8c",
    "missed": "#9c1f2e",
    "unseen": "#5b5e66",
    "font": "sans-serif",
}


@register.simple_tag
def picture(
    drawn: Bar | Control | Funnel | Intervals | Spine | Strip,
    on: str = "page",
    name: str = "spine",
) -> SafeString:
    """Place a picture: `on` is page or print; `name` keeps two spines' ids apart."""
    colours = {"page": PAGE, "print": PRINT}[on]
    values = {"picture": drawn, "colours": colours, "name": name}
    return render_to_string(TEMPLATES[type(drawn)], values)
