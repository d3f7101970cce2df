"""A feedback as a tagged PDF (PDF/UA-1), in the fonts that come with the app."""

from __future__ import annotations

import atexit
import gc
import re
from base64 import b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any, Literal, get_args

from django.template.loader import render_to_string

import accounts

if TYPE_CHECKING:
    from grading.exports.feedback_values import Feedback

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
HERE = Path(__file__).parent
LOOK = Path(accounts.__file__).parent / "static" / "accounts"
# Every sign that a row of the report may begin with, and its colour in tokens.css.
SIGNS = {
    "done": "done",
    "partly": "partly",
    "said": "said",
    "missed": "missed",
    "unseen": "unseen",
    "excused": "ink",
    "success": "ink",
    "alert": "missed",
}
# Pango's font map serves one thread at a time.
_one_at_a_time = Lock()


def pdf_of(feedback: Feedback, paper: Paper = "a4") -> bytes:
    """The report as a file."""
    return typeset(print_version(feedback), paper)


def print_version(feedback: Feedback) -> str:
    """The HTML that is set: whole in itself, it names no other file."""
    return render_to_string("grading/feedback_print.html", {"feedback": feedback})


def typeset(html: str, paper: Paper = "a4") -> bytes:
    """Set a print version on A4 or Letter; needs no store and no settings."""
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher

    from grading.exports.pdf_artifacts import set_footers_aside

    with _one_at_a_time, _without_collecting():
        fonts, styles = _prepared(paper)
        # Only the signs, which are data: a comment cannot make the server fetch.
        page = HTML(string=html, url_fetcher=URLFetcher(allowed_protocols=["data"]))
        pdf: bytes = page.write_pdf(
            stylesheets=[styles],
            font_config=fonts,
            pdf_variant="pdf/ua-1",
            finisher=set_footers_aside,
        )
    return pdf


@lru_cache(maxsize=len(PAPERS))
def _prepared(paper: Paper) -> tuple[Any, Any]:
    """Fonts and styles, read once a process."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    styles = CSS(
        string=f"{_styles()}\n@page {{ size: {paper} }}",
        base_url=f"{HERE.as_uri()}/",
        font_config=fonts,
    )
    return fonts, styles


# Fonts hold temporary files, which they can remove only before the interpreter ends.
atexit.register(_prepared.cache_clear)


def _styles() -> str:
    """The report's own styles with the site's light colours and signs put in."""
    tokens = (LOOK / "tokens.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--([a-z-]+): light-dark\((#[0-9a-f]{6}),", tokens))
    glyphs = (LOOK / "glyphs.svg").read_text(encoding="utf-8")
    shapes = dict(re.findall(r'<symbol id="([a-z]+)"[^>]*>(.*)</symbol>', glyphs))
    rules = [
        f"td.{name} {{ background-image: url({_as_data(shapes[name], colours[colour])}) }}"
        for name, colour in SIGNS.items()
    ]
    own = (HERE / "feedback_pdf.css").read_text(encoding="utf-8")
    own = re.sub(r"var\(--([a-z-]+)\)", lambda match: colours[match[1]], own)
    return "\n".join([own, *rules])


def _as_data(shape: str, colour: str) -> str:
    drawn = shape.replace("currentColor", colour)
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 18">{drawn}</svg>'
    return f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"


@contextmanager
def _without_collecting() -> Iterator[None]:
    """A document is many small objects that live to its end: look for waste after."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
        gc.collect()
