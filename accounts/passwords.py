"""What NIST SP 800-63B-4 (section 3.1.1.2) asks of a password beside its length.

No rules of composition and no change by the calendar; a blocklist instead, against
which the whole password is compared, and words of this place and their derivatives.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError

LONGEST = 256
PLACE_WORDS = frozenset({"bellside", "rubric", "stethoscope", "passphrase"})
_SHORTEST_UNIT = 5


class MaximumLengthValidator:
    """Far above the 64 that must be allowed; a bound on what one hash may cost."""

    def validate(self, password: str, user: AbstractBaseUser | None = None) -> None:
        if len(password) > LONGEST:
            raise ValidationError(
                f"This password has {len(password)} characters; "
                f"at most {LONGEST} are taken.",
                code="password_too_long",
            )

    def get_help_text(self) -> str:
        return f"At most {LONGEST} characters."


class GuessablePasswordValidator:
    """Refuses what is long but quickly guessed.

    With 15 characters at least, the common passwords come back stretched: written
    twice, or with digits and signs around them.
    """

    def validate(self, password: str, user: AbstractBaseUser | None = None) -> None:
        plain = unicodedata.normalize("NFKC", password).casefold()
        reason = ""
        if len(_unit(plain)) < _SHORTEST_UNIT:
            reason = "repeats the same few characters"
        elif _is_run(plain):
            reason = "only counts on, or follows the alphabet or the keyboard"
        elif _is_word_of_place(plain):
            reason = "is made of this site's own words"
        elif _stretches(plain) & _common():
            reason = "is a common password, stretched"
        if reason:
            raise ValidationError(
                f"This password {reason}: it would be guessed soon.",
                code="password_guessable",
            )

    def get_help_text(self) -> str:
        return "No common password, also not written twice or with digits around it."


@lru_cache
def _common() -> frozenset[str]:
    return frozenset(CommonPasswordValidator().passwords)


def _unit(text: str) -> str:
    """The smallest part of which the text is a repetition, the last one cut short.

    >>> _unit("abcabcab"), _unit("abcd")
    ('abc', 'abcd')
    """
    for length in range(1, len(text)):
        if (text[:length] * (len(text) // length + 1)).startswith(text):
            return text[:length]
    return text


def _bare(text: str) -> str:
    """Without digits and signs at either end."""
    return re.sub(r"^[\W\d_]+|[\W\d_]+$", "", text)


def _is_run(text: str) -> bool:
    runs = (
        "0123456789" * 3,
        "abcdefghijklmnopqrstuvwxyz" * 2,
        "qwertyuiopasdfghjklzxcvbnm" * 2,
        "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p",
    )
    return any(text in run or text in run[::-1] for run in runs)


def _is_word_of_place(text: str) -> bool:
    letters = re.sub(r"[\W\d_]+", "", text)
    for word in PLACE_WORDS:
        letters = letters.replace(word, "")
    return not letters and any(word in text for word in PLACE_WORDS)


def _stretches(text: str) -> set[str]:
    """What a guesser would shorten the text to."""
    closed = re.sub(r"\s+", "", text)
    return {closed, _unit(closed), _bare(closed), _unit(_bare(closed))}
