"""One frame of the drawn recording: the figure, the hands, and what is seen in words."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from textwrap import wrap

from PIL import Image, ImageDraw, ImageFont

from grading.film.figure import Camera, Point, breadth, draw_figure, spot
from grading.film.icons import draw_contact, draw_held, draw_posture
from grading.film.script import Act, clock

WIDTH, HEIGHT = 960, 540
# Drawn at twice the size and scaled down: Pillow's own lines and circles are jagged.
TWICE = 2
STAGE = (0, 0, 640, 432)
PANEL = 664

PAPER = "#faf7f0"
SHEET = "#fffdf8"
INK = "#23262c"
INK_SOFT = "#5b5e66"
RULE = "#ddd6c6"
ACCENT = "#2c4470"
SLEEVE = "#b9c3d8"
SLEEVE_EDGE = "#7484a6"
GLOW = "#f2d489"

# What the camera holds: the point of the body in mid picture, and pixels a length.
VIEWS: dict[str, tuple[Point, float]] = {
    "whole": ((0, 500), 0.395),
    "upper": ((0, 315), 0.74),
    "neck": ((0, 190), 1.5),
    "chest": ((0, 275), 1.7),
    "belly": ((0, 430), 1.5),
    "legs": ((0, 790), 0.86),
    "feet": ((0, 905), 1.5),
    "right foot": ((-190, 905), 1.5),
}
FONTS = Path("/usr/share/fonts/truetype/dejavu")
OWN_HANDS = "own hands"


@lru_cache
def font(face: str, size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """DejaVu where the machine has it, else the font that comes with Pillow."""
    path = FONTS / f"DejaVu{face}.ttf"
    if path.is_file():
        return ImageFont.truetype(str(path), size * TWICE)
    return ImageFont.load_default(size * TWICE)


def camera(view: str) -> Camera:
    """The view's camera, in the pixels of the large drawing."""
    if view not in VIEWS:
        raise ValueError(f"view must be one of {', '.join(VIEWS)}, not {view!r}")
    centre, scale = VIEWS[view]
    left, top, right, bottom = STAGE
    middle = ((left + right) / 2 * TWICE, (top + bottom) / 2 * TWICE)
    return Camera(centre, scale * TWICE, middle)


def draw_act(act: Act) -> Image.Image:
    """The picture of an act without its clock, in the large size."""
    image = Image.new("RGB", (WIDTH * TWICE, HEIGHT * TWICE), PAPER)
    lens = camera(act.view)
    draw_figure(image, lens, act.gown, lying=not act.posture.startswith("sitting"))
    draw = ImageDraw.Draw(image)
    for name in act.look:
        _ring(draw, lens, name)
    _hands(draw, lens, act)
    _frame(draw)
    _panel(draw, lens, act)
    _speech(draw, act)
    return image


def with_clock(picture: Image.Image, moment: int) -> Image.Image:
    """The picture at a moment, in the recording's size."""
    image = picture.copy()
    _text(ImageDraw.Draw(image), (PANEL, 18), clock(moment), "Sans-Bold", 44, INK)
    return image.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)


def in_picture(lens: Camera, name: str) -> bool:
    """Whether the camera holds a place."""
    if name == OWN_HANDS:
        return True
    x, y = lens.place(spot(name))
    left, top, right, bottom = (edge * TWICE for edge in STAGE)
    return left <= x <= right and top <= y <= bottom


def _text(
    draw: ImageDraw.ImageDraw,
    at: Point,
    words: str,
    face: str,
    size: int,
    colour: str,
) -> None:
    place = (at[0] * TWICE, at[1] * TWICE)
    draw.text(place, words, font=font(face, size), fill=colour)


def _ring(draw: ImageDraw.ImageDraw, lens: Camera, name: str) -> None:
    """A dashed ring: the eyes are there, the hands are not."""
    x, y = lens.place(spot(name))
    r = breadth(name) * lens.scale
    for start in range(0, 360, 20):
        draw.arc((x - r, y - r, x + r, y + r), start, start + 11, fill=ACCENT, width=6)


def _arm(draw: ImageDraw.ImageDraw, elbow: Point, tip: Point) -> None:
    """A sleeve, a hand and its fingers, which end at `tip`."""
    (ex, ey), (tx, ty) = elbow, tip
    length = ((tx - ex) ** 2 + (ty - ey) ** 2) ** 0.5
    ux, uy = (tx - ex) / length, (ty - ey) / length

    def along(back: float, aside: float = 0) -> Point:
        return (tx - ux * back - uy * aside, ty - uy * back + ux * aside)

    def stroke(a: Point, b: Point, width: int) -> None:
        for colour, grow in ((SLEEVE_EDGE, 3), (SLEEVE, 0)):
            draw.line([a, b], fill=colour, width=width + 2 * grow)
            for x, y in (a, b):
                r = width / 2 + grow
                draw.ellipse((x - r, y - r, x + r, y + r), fill=colour)

    stroke(elbow, along(112), 54)
    stroke(along(84, 24), along(58, 42), 17)
    stroke(along(92), along(70), 56)
    for aside, back in ((-20, 16), (-6, 8), (9, 14), (22, 26)):
        stroke(along(60, aside), along(back, aside * 0.8), 13)


def _hands(draw: ImageDraw.ImageDraw, lens: Camera, act: Act) -> None:
    """The examiner's hands: at rest, together, or on the places touched.

    They come from the volunteer's right, which is the left of the picture, and leave
    the picture where the place touched does.
    """
    floor = STAGE[3] * TWICE
    if act.touch == (OWN_HANDS,):
        _arm(draw, (40, floor + 40), (182, floor - 190))
        _arm(draw, (330, floor + 40), (190, floor - 210))
        return
    if not act.touch:
        _arm(draw, (60, floor + 90), (70, floor - 90))
        _arm(draw, (170, floor + 90), (164, floor - 90))
        return
    for index, name in enumerate(act.touch):
        x, y = lens.place(spot(name))
        if x < 0:
            continue
        r = 46
        draw.ellipse((x - r, y - r, x + r, y + r), fill=GLOW)
        _arm(draw, (-60, min(floor - 40, y + 190 + 150 * index)), (x - 8, y + 8))
        draw_contact(draw, act.held, index, (x, y))


def _frame(draw: ImageDraw.ImageDraw) -> None:
    """Lay panel and caption over what the stage drew beyond its edges."""
    right, bottom = STAGE[2] * TWICE, STAGE[3] * TWICE
    draw.rectangle((right, 0, WIDTH * TWICE, HEIGHT * TWICE), fill=PAPER)
    draw.rectangle((0, bottom, WIDTH * TWICE, HEIGHT * TWICE), fill=SHEET)
    draw.line((right, 0, right, bottom), fill=RULE, width=3)
    draw.line((0, bottom, WIDTH * TWICE, bottom), fill=RULE, width=3)
    _text(draw, (14, 12), "volunteer’s right", "Sans", 14, INK_SOFT)
    _text(draw, (514, 12), "volunteer’s left", "Sans", 14, INK_SOFT)


def _panel(draw: ImageDraw.ImageDraw, lens: Camera, act: Act) -> None:
    _text(draw, (PANEL, 84), "Position", "Sans", 15, INK_SOFT)
    draw_posture(draw, act.posture, (PANEL * TWICE, 160 * TWICE), 92)
    posture = act.posture.replace("backrest 40", "backrest at 40°").replace(
        "sitting forward", "sitting, leaning forward"
    )
    _lines(draw, (PANEL + 64, 122), posture, 17, "Sans", 18)

    hands = [n if in_picture(lens, n) else "out of the picture" for n in act.touch]
    _text(draw, (PANEL, 186), "Hands", "Sans", 15, INK_SOFT)
    words = " and ".join(dict.fromkeys(hands)) or "at rest"
    y = _lines(draw, (PANEL, 206), words, 22, "Sans-Bold", 21)
    if act.look:
        y += 8
        _text(draw, (PANEL, y), "Looks at", "Sans", 15, INK_SOFT)
        y = _lines(draw, (PANEL, y + 20), " and ".join(act.look), 22, "Sans-Bold", 21)
    if act.held and "out of the picture" not in hands:
        draw_held(draw, act.held, ((PANEL + 26) * TWICE, (y + 44) * TWICE), 104)
        _lines(draw, (PANEL + 66, y + 32), act.held, 17, "Sans", 19)
        y += 82
    if act.note:
        y += 10
        top = y
        y = _lines(draw, (PANEL + 14, y), act.note, 26, "Sans", 18)
        draw.line(
            (PANEL * TWICE, top * TWICE, PANEL * TWICE, y * TWICE),
            fill=ACCENT,
            width=6,
        )


def _lines(
    draw: ImageDraw.ImageDraw, at: Point, words: str, wide: int, face: str, size: int
) -> float:
    """Draw words in lines of at most `wide` characters; where the next would begin."""
    x, y = at
    for line in wrap(words, wide):
        _text(draw, (x, y), line, face, size, INK)
        y += size * 1.35
    return y


def _speech(draw: ImageDraw.ImageDraw, act: Act) -> None:
    if not act.say:
        return
    top = STAGE[3]
    _text(draw, (24, top + 10), act.by, "Sans", 14, INK_SOFT)
    _lines(draw, (24, top + 31), f"“{act.say}”", 74, "Serif", 22)
