"""Small pictures: what is in the examiner's hand, and how the volunteer lies or sits."""

from __future__ import annotations

from PIL import ImageDraw

from grading.film.figure import Point

INK = "#23262c"
ACCENT = "#2c4470"
SHEET = "#fffdf8"


def kind_of(held: str) -> str:
    """Which picture stands for what is held."""
    for kind in ("diaphragm", "bell", "cuff", "ruler", "eyes"):
        if kind in held:
            return kind
    return "hand" if held else ""


def draw_held(draw: ImageDraw.ImageDraw, held: str, at: Point, size: float) -> None:
    """The thing held, in a square of `size` pixels whose middle is `at`."""
    x, y = at
    u = size / 10
    width = round(size / 16)
    match kind_of(held):
        case "diaphragm":
            # From the side: a wide flat plate.
            draw.line((x, y - 4.5 * u, x, y + u), fill=INK, width=width * 2)
            draw.rounded_rectangle(
                (x - 5 * u, y + u, x + 5 * u, y + 3 * u), u / 2, fill=ACCENT
            )
        case "bell":
            # From the side: a narrow deep cup.
            draw.line((x, y - 4.5 * u, x, y - u), fill=INK, width=width * 2)
            draw.polygon(
                [
                    (x - u, y - 1.5 * u),
                    (x + u, y - 1.5 * u),
                    (x + 2.8 * u, y + 3 * u),
                    (x - 2.8 * u, y + 3 * u),
                ],
                fill=SHEET,
                outline=ACCENT,
                width=width,
            )
        case "cuff":
            draw.rounded_rectangle(
                (x - 4 * u, y - 3 * u, x + 4 * u, y + 2 * u), u, fill=ACCENT
            )
            draw.line((x, y + 2 * u, x, y + 4.5 * u), fill=INK, width=width)
        case "ruler":
            draw.rectangle(
                (x - 1.5 * u, y - 4.5 * u, x + 1.5 * u, y + 4.5 * u),
                fill=SHEET,
                outline=ACCENT,
                width=width,
            )
            for tick in range(-3, 4):
                ends = (x - 1.5 * u, y + tick * u, x, y + tick * u)
                draw.line(ends, fill=ACCENT, width=width // 2)
        case "eyes":
            draw.ellipse(
                (x - 5 * u, y - 2.6 * u, x + 5 * u, y + 2.6 * u),
                outline=ACCENT,
                width=width,
            )
            draw.ellipse((x - 1.7 * u, y - 1.7 * u, x + 1.7 * u, y + 1.7 * u), fill=INK)
        case "hand":
            draw.rounded_rectangle(
                (x - 3 * u, y - 0.5 * u, x + 2.4 * u, y + 4.5 * u), u, fill=ACCENT
            )
            for finger in range(4):
                left = x - 3 * u + finger * 1.42 * u
                draw.rounded_rectangle(
                    (left, y - 4.2 * u, left + 1.1 * u, y + u), u / 2, fill=ACCENT
                )
            draw.line(
                (x + 2 * u, y + 2.6 * u, x + 4.4 * u, y), fill=ACCENT, width=width * 2
            )


def draw_contact(draw: ImageDraw.ImageDraw, held: str, index: int, at: Point) -> None:
    """What lies on the skin: the chest piece seen from above, a cuff, or a fingertip."""
    x, y = at
    kind = kind_of(held) if index == 0 or kind_of(held) == "cuff" else "hand"
    if kind == "diaphragm" or (kind == "cuff" and index == 1):
        draw.ellipse((x - 30, y - 30, x + 30, y + 30), fill=ACCENT)
        draw.ellipse((x - 22, y - 22, x + 22, y + 22), outline=SHEET, width=3)
    elif kind == "bell":
        draw.ellipse(
            (x - 20, y - 20, x + 20, y + 20), fill=SHEET, outline=ACCENT, width=8
        )
    elif kind == "cuff":
        draw.rounded_rectangle((x - 46, y - 34, x + 46, y + 34), 10, fill=ACCENT)
    elif kind == "ruler":
        draw.rectangle(
            (x - 10, y - 150, x + 10, y), fill=SHEET, outline=ACCENT, width=4
        )
    else:
        draw.ellipse((x - 12, y - 12, x + 12, y + 12), fill=ACCENT)


def draw_posture(
    draw: ImageDraw.ImageDraw, posture: str, at: Point, size: float
) -> None:
    """The volunteer from the side, as a few strokes; `at` is the left lower corner."""
    x, y = at
    u = size / 10
    width = round(size / 12)

    def strokes(*points: Point, colour: str = INK) -> None:
        path = [(x + px * u, y - py * u) for px, py in points]
        draw.line(path, fill=colour, width=width, joint="curve")

    def head(px: float, py: float) -> None:
        r = 1.25 * u
        cx, cy = x + px * u, y - py * u
        draw.ellipse((cx - r, cy - r, cx + r, cy + r), fill=INK)

    if posture == "sitting":
        strokes((1.5, 3), (6, 3), colour="#8794b0")
        strokes((3, 3.6), (3, 7), (3, 3.6), (6.2, 3.6), (6.2, 0.4))
        head(3, 8.7)
    elif posture == "sitting forward":
        strokes((1.5, 3), (6, 3), colour="#8794b0")
        strokes((3, 3.6), (5.2, 6.6), (3, 3.6), (6.2, 3.6), (6.2, 0.4))
        head(6.2, 8)
    elif posture.startswith("backrest"):
        strokes((0.6, 5.4), (4.6, 1.6), (12, 1.6), colour="#8794b0")
        strokes((2.2, 5.4), (5, 2.8), (12, 2.8))
        head(1.4, 6.8)
    else:
        strokes((0, 1.6), (12, 1.6), colour="#8794b0")
        strokes((2.6, 2.8), (6.6, 2.8), (8.6, 5.2), (10.4, 2.8))
        head(1.2, 3.2)
