"""NIST SP 800-63B-4, section 3.1.1.2; the examples are our own."""

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from accounts.models import User


@pytest.mark.parametrize(
    ("password", "reason"),
    [
        ("fourteen chars", "at least 15 characters"),
        ("long " * 60, "at most 256 are taken"),
        ("aaaaaaaaaaaaaaaa", "repeats the same few"),
        ("abc1abc1abc1abc1", "repeats the same few"),
        ("1234567890123456", "counts on"),
        ("abcdefghijklmnop", "counts on"),
        ("qwertyuiopasdfgh", "keyboard"),
        ("Bellside-bellside-2026", "own words"),
        ("password1234567", "common password, stretched"),
        ("sunshine sunshine", "common password, stretched"),
        ("!!!dragon!!!!!!!!!", "common password, stretched"),
    ],
)
def test_a_guessable_password_is_refused_with_its_reason(password, reason):
    with pytest.raises(ValidationError) as refusal:
        validate_password(password)
    assert reason in " ".join(refusal.value.messages)


@pytest.mark.parametrize(
    "password",
    [
        "fifteen letters",
        "all lower case and spaces",
        "пятнадцать букв тут",
        "十五个字符的密码应该可以使用吧好的",
        "84 19 57 20 36 75",
        "\N{WHITE SMILING FACE} fifteen signs here",
        "dragons in bellside lanes",
        "x" + "y lantern " * 25,
    ],
)
def test_no_rule_of_composition_refuses_a_long_password(password):
    validate_password(password)


def test_a_password_made_of_the_person_is_refused():
    person = User(email="sana.whitlock@school.example", name="Sana Whitlock")
    with pytest.raises(ValidationError, match="too similar"):
        validate_password("sana.whitlock@school", person)
