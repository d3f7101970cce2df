"""Cut the report's fonts out of Debian's: python make.py FOLDER

FOLDER holds the unpacked Debian packages fonts-noto-core, fonts-noto-extra,
fonts-noto-cjk and unicode-data (see README.md). Nothing at run time needs this file.
"""

import bz2
import sys
from collections.abc import Iterable
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
TEXT = (
    (0x0020, 0x024F),  # Latin, for most of Europe, Africa and Vietnam
    (0x0259, 0x0259),
    (0x02B0, 0x036F),  # modifiers and combining marks
    (0x0370, 0x052F),  # Greek and Cyrillic
    (0x1E00, 0x1EFF),  # Vietnamese and other Latin
    (0x2000, 0x209F),  # punctuation, super- and subscripts
    (0x20A0, 0x20BF),
    (0x2100, 0x218F),  # letter-like signs and fractions
    (0x25CC, 0x25CC),  # carries a combining mark that stands alone
)
EAST_ASIAN = (
    (0x0020, 0x0020),  # a space is set in the font of the word before it
    (0x00A0, 0x00A0),
    (0x2190, 0x21FF),  # arrows, mathematical and drawn signs that the others lack
    (0x2200, 0x22FF),
    (0x2460, 0x24FF),
    (0x25A0, 0x27BF),
    (0x3000, 0x30FF),  # punctuation and kana
    (0x3100, 0x312F),  # bopomofo
    (0xFF00, 0xFF60),  # full width
)
# Han characters by Unihan's own lists: the table of standard characters that Chinese
# names are chosen from, and those that Japanese names may use.
HAN_LISTS = ("kTGH", "kJoyoKanji", "kJinmeiyoKanji")
# What school and registry of each place write with: two-byte codes (first, second).
CODES = (
    ("gb2312", range(0xB0, 0xF8), range(0xA1, 0xFF)),
    ("big5", range(0xA4, 0xC7), range(0x40, 0xFF)),  # its frequently used part
    ("euc_kr", range(0xB0, 0xC9), range(0xA1, 0xFF)),
)


def main(debian: Path) -> None:
    truetype = debian / "usr/share/fonts/truetype/noto"
    for name in (
        "NotoSans-Regular",
        "NotoSans-Bold",
        "NotoSerif-Regular",
        "NotoSerif-SemiBold",
    ):
        cut(TTFont(truetype / f"{name}.ttf"), spread(TEXT), HERE / f"{name}.ttf")
    for script in ("Arabic", "Hebrew", "Devanagari", "Thai"):
        name = f"NotoSans{script}-Regular.ttf"
        font = TTFont(truetype / name)
        cut(font, font.getBestCmap(), HERE / name)
    simplified = TTFont(
        debian / "usr/share/fonts/opentype/noto/NotoSansCJK-Regular.ttc",
        fontNumber=2,
    )
    if simplified["name"].getDebugName(1) != "Noto Sans CJK SC":
        sys.exit("font 2 of the collection is not Noto Sans CJK SC")
    cut(simplified, east_asian(debian), HERE / "NotoSansCJKsc-Regular.otf")


def east_asian(debian: Path) -> set[int]:
    wanted = set(spread(EAST_ASIAN))
    listed = debian / "usr/share/unicode/Unihan_OtherMappings.txt.bz2"
    with bz2.open(listed, "rt", encoding="utf-8") as lines:
        for line in lines:
            fields = line.split("\t")
            if fields[0].startswith("U+") and fields[1] in HAN_LISTS:
                wanted.add(int(fields[0][2:], 16))
    for codec, firsts, seconds in CODES:
        for first in firsts:
            for second in seconds:
                text = bytes((first, second)).decode(codec, errors="ignore")
                if len(text) == 1:
                    wanted.add(ord(text))
    return wanted


def spread(ranges: Iterable[tuple[int, int]]) -> Iterable[int]:
    return (code for first, last in ranges for code in range(first, last + 1))


def cut(font: TTFont, codes: Iterable[int], target: Path) -> None:
    """Keep the characters and the features that lay them out; drop hinting."""
    options = Options()
    options.hinting = False
    options.desubroutinize = False
    options.name_IDs = ["*"]
    options.notdef_outline = True
    # Forms that only vertical text, old type or another language asks for.
    options.layout_features = [
        *(f for f in options.layout_features if f not in {"vert", "vrt2", "vkrn"}),
        "tnum",
        "lnum",
    ]
    if "CFF " in font:
        options.layout_features = ["ccmp", "mark", "mkmk", "kern"]
        options.drop_tables = [*options.drop_tables, "BASE", "VORG", "vhea", "vmtx"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=codes)
    subsetter.subset(font)
    # The same bytes for the same packages.
    font.recalcTimestamp = False
    font.save(target)
    print(f"{target.name}: {target.stat().st_size:,} bytes")  # noqa: T201


if __name__ == "__main__":
    main(Path(sys.argv[1]))
