"""The fonts of the report hold what names are written with."""

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from grading.exports import feedback_pdf

FONTS = sorted((Path(feedback_pdf.__file__).parent / "fonts").glob("*.?tf"))


def characters(name):
    return TTFont(next(p for p in FONTS if p.name.startswith(name))).getBestCmap()


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.name)
def test_every_font_holds_the_space_between_two_of_its_words(path):
    # Pango sets a space in the font of the word before it.
    assert {0x20, 0xA0} <= set(TTFont(path).getBestCmap())


@pytest.mark.parametrize(
    ("font", "text"),
    [
        # Name characters beyond GB 2312 in the table of standard Chinese characters
        # (State Council, 2013, third part), traditional, Japanese and Korean ones.
        ("NotoSansCJKsc", "玥喆堃珺垚昇淼鑫 陳麗華 齋藤龍 さくら カ 김서연"),
        # Letters of Arabic, Persian and Urdu, with a vowel sign.
        ("NotoSansArabic", "ليلى حدّاد پروین گل چشتی ٹنڈو بڑے بھٹی"),
        (
            "NotoSans-Regular",
            "Đặng Thị Ơn Ďuríčková Øystein Šarūnas Ωμέγα Дарья Їжак Ọlá",
        ),
        ("NotoSans-Bold", "Đặng Ďuríčková Ωμέγα Дарья"),
        ("NotoSerif-Regular", "Đặng Ďuríčková Ωμέγα Дарья"),
        ("NotoSerif-SemiBold", "Đặng Ďuríčková Ωμέγα Дарья"),
    ],
)
def test_names_can_be_written_whole(font, text):
    assert {c for c in text if ord(c) not in characters(font)} == set()


def test_their_licence_lies_beside_them():
    licence = (FONTS[0].parent / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_they_are_light_enough_to_come_with_the_app():
    assert sum(path.stat().st_size for path in FONTS) < 6_000_000
