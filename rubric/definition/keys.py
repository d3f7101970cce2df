"""What a key looks like, and the key that a site's name gives."""

from __future__ import annotations

import re
import unicodedata

ALLOWED_KEY = "lower-case words joined by -, parts joined by ."

_PLAIN = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.[a-z0-9]+(?:-[a-z0-9]+)*)*")


def is_key(text: str) -> bool:
    """Whether every part is lower-case words (letters of any script, and digits)."""
    if _PLAIN.fullmatch(text):
        return True
    words = re.split(r"[.-]", text)
    return all(words) and text == _lower(text) and all(map(_is_letter, "".join(words)))


def axis_key(name: str) -> str:
    """The part of a key that a site, side or instrument gives: dorsalis-pedis."""
    return _lower(name).replace(" ", "-")


def is_axis_name(name: str) -> bool:
    """Whether the name's key is one part of a key."""
    key = axis_key(name)
    return "." not in key and is_key(key)


def _lower(text: str) -> str:
    """One spelling for each key, however its accents were typed."""
    return unicodedata.normalize("NFC", text).lower()


def _is_letter(character: str) -> bool:
    category = unicodedata.category(character)
    return category[0] in "LM" or category == "Nd"
