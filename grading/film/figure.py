"""The drawn volunteer: a plain figure seen from the front, and the places on it.

Lengths are thousandths of the body's height from crown to sole; x grows towards the
volunteer's left, which the viewer sees on the right.
"""

from __future__ import annotations

from dataclasses import dataclass

from PIL import Image, ImageChops, ImageDraw

INK_SOFT = "#5b5e66"
SKIN = "#efe4d0"
CREASE = "#cbbb9d"
CLOTH = "#d3dae8"
CLOTH_EDGE = "#8794b0"
BED = "#f1ecdf"
PILLOW = "#fffdf8"
RULE = "#ddd6c6"

Point = tuple[float, float]

# A sided place is written for the volunteer's left; the right one mirrors it.
SIDED: dict[str, Point] = {
    "carotid": (21, 152),
    "neck vein": (27, 160),
    "hand": (190, 528),
    "nails": (198, 560),
    "arm": (158, 395),
    "upper arm": (127, 280),
    "elbow crease": (141, 346),
    "radial": (190, 487),
    "brachial": (131, 336),
    "renal": (38, 398),
    "iliac": (44, 470),
    "leg": (55, 790),
    "shin": (54, 835),
    "behind the knee": (55, 742),
    "calf": (72, 812),
    "behind the inner ankle": (39, 928),
    "top of the foot": (60, 956),
    "toe": (64, 988),
}
MIDLINE: dict[str, Point] = {
    "face": (0, 72),
    "sternal angle": (0, 226),
    "middle of the belly": (0, 412),
    "aortic area": (-25, 238),
    "pulmonic area": (25, 238),
    "third left space": (27, 266),
    "tricuspid area": (23, 304),
    "mitral area": (62, 320),
    "whole chest": (0, 278),
    "above the navel": (0, 398),
    "aorta": (6, 402),
    "sink": (-900, 300),
}
# Radius of the ring round a place that is looked at, where it is more than a spot.
BREADTH = {"face": 52, "whole chest": 84, "leg": 70, "arm": 46, "above the navel": 40}

# Between which heights cloth covers the body, by state of the gown.
COVERED: dict[str, tuple[tuple[float, float], ...]] = {
    "on": ((192, 640),),
    "chest": ((352, 1015),),
    "belly": ((192, 338), (500, 1015)),
    "legs": ((192, 600),),
}


def spot(name: str) -> Point:
    """Where a place is: "aorta", or "radial, right"."""
    if name in MIDLINE:
        return MIDLINE[name]
    place, _, side = name.partition(", ")
    if place not in SIDED or side not in ("left", "right"):
        raise ValueError(f"{name!r} is no place on the figure")
    x, y = SIDED[place]
    return (x if side == "left" else -x, y)


def breadth(name: str) -> float:
    """Radius of the ring round a place that is looked at."""
    return BREADTH.get(name.partition(", ")[0], 15)


@dataclass(frozen=True)
class Camera:
    """Turns body lengths into pixels: `centre` of the body lies at `middle`."""

    centre: Point
    scale: float
    middle: Point

    def place(self, point: Point) -> Point:
        return (
            self.middle[0] + (point[0] - self.centre[0]) * self.scale,
            self.middle[1] + (point[1] - self.centre[1]) * self.scale,
        )

    def box(self, left: float, top: float, right: float, bottom: float) -> list[Point]:
        return [self.place((left, top)), self.place((right, bottom))]


def draw_figure(image: Image.Image, camera: Camera, gown: str, lying: bool) -> None:
    """Draw bed, volunteer, landmarks and cloth."""
    draw = ImageDraw.Draw(image)
    corner = 26 * camera.scale
    if lying:
        draw.rounded_rectangle(
            camera.box(-245, -45, 245, 1050), corner, fill=BED, outline=RULE, width=3
        )
        draw.rounded_rectangle(
            camera.box(-120, -25, 120, 135), corner, fill=PILLOW, outline=RULE, width=3
        )
    else:
        draw.rounded_rectangle(
            camera.box(-130, 150, 130, 620), corner, fill=BED, outline=RULE, width=3
        )
    _silhouette(draw, camera, INK_SOFT, grow=3, arms=True)
    _silhouette(draw, camera, SKIN, grow=0, arms=True)
    _landmarks(draw, camera)
    for top, bottom in COVERED[gown]:
        for colour, grow in ((CLOTH_EDGE, 10), (CLOTH, 7)):
            _cloth(image, camera, colour, grow, top, bottom)


def _silhouette(
    draw: ImageDraw.ImageDraw, camera: Camera, colour: str, grow: float, arms: bool
) -> None:
    """The body in one colour, `grow` pixels wider all round."""

    def limb(a: Point, wide: float, b: Point, narrow: float) -> None:
        (ax, ay), (bx, by) = camera.place(a), camera.place(b)
        ra, rb = wide * camera.scale + grow, narrow * camera.scale + grow
        length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        nx, ny = -(by - ay) / length, (bx - ax) / length
        draw.polygon(
            [
                (ax + nx * ra, ay + ny * ra),
                (bx + nx * rb, by + ny * rb),
                (bx - nx * rb, by - ny * rb),
                (ax - nx * ra, ay - ny * ra),
            ],
            fill=colour,
        )
        for x, y, r in ((ax, ay, ra), (bx, by, rb)):
            draw.ellipse((x - r, y - r, x + r, y + r), fill=colour)

    for side in (-1, 1):
        limb((side * 48, 540), 45, (side * 55, 735), 31)
        limb((side * 55, 735), 31, (side * 54, 905), 18)
        limb((side * 54, 905), 18, (side * 62, 972), 23)
        # Neck to shoulder.
        limb((side * 6, 178), 22, (side * 92, 218), 27)
        # Flanks: chest, waist, hip.
        limb((side * 62, 240), 44, (side * 50, 400), 36)
        limb((side * 50, 400), 36, (side * 48, 530), 46)
        # The gown's short sleeve, or the shoulder below it.
        limb((side * 98, 226), 27, (side * 109, 256), 25)
        if arms:
            limb((side * 100, 226), 27, (side * 137, 345), 20)
            limb((side * 137, 345), 20, (side * 180, 488), 13)
            limb((side * 183, 505), 15, (side * 194, 556), 12)
            limb((side * 192, 505), 7, (side * 208, 535), 6)
    draw.polygon(
        [camera.place(p) for p in ((-60, 200), (60, 200), (60, 560), (-60, 560))],
        fill=colour,
    )
    if arms:
        limb((0, 110), 29, (0, 190), 34)
        x, y = camera.place((0, 68))
        w, h = 47 * camera.scale + grow, 63 * camera.scale + grow
        draw.ellipse((x - w, y - h, x + w, y + h), fill=colour)


def _landmarks(draw: ImageDraw.ImageDraw, camera: Camera) -> None:
    """What an examiner finds a site by: collar bones, breastbone, ribs, navel, knees."""
    width = max(2, round(1.2 * camera.scale))

    def line(*points: Point) -> None:
        draw.line(
            [camera.place(p) for p in points], fill=CREASE, width=width, joint="curve"
        )

    line((0, 208), (0, 322))
    line((-10, 226), (10, 226))
    for side in (-1, 1):
        line((side * 10, 206), (side * 50, 199), (side * 92, 202))
        for rib in range(5):
            y = 226 + rib * 25
            line((side * 12, y), (side * 48, y + 5), (side * 84, y + 16))
        line((side * 22, 132), (side * 8, 192))
        line((side * 42, 728), (side * 55, 722), (side * 68, 728))
        for toe in (52, 59, 66, 73):
            line((side * toe, 982), (side * (toe + 1), 990))
    draw.ellipse(camera.box(-5, 435, 5, 445), outline=CREASE, width=width)
    # The plaster on the left shin that the volunteer speaks of.
    draw.rounded_rectangle(
        camera.box(44, 848, 68, 866), 5 * camera.scale, fill="#d9b98c", outline=CREASE
    )


def _cloth(
    image: Image.Image,
    camera: Camera,
    colour: str,
    grow: float,
    top: float,
    bottom: float,
) -> None:
    mask = Image.new("L", image.size, 0)
    draw = ImageDraw.Draw(mask)
    _silhouette(draw, camera, "white", grow=grow, arms=False)
    if bottom > 600:
        # A gown or sheet hangs across the gap between the legs.
        draw.polygon(
            [camera.place(p) for p in ((-95, 540), (95, 540), (85, 1010), (-85, 1010))],
            fill="white",
        )
    # The hem shows as a line: the cloth's edge colour reaches a little further.
    reach = 3 if colour == CLOTH_EDGE else 0
    upper = camera.place((0, top))[1] - reach
    lower = camera.place((0, bottom))[1] + reach
    band = Image.new("L", image.size, 0)
    if upper < lower:
        ImageDraw.Draw(band).rectangle((0, upper, image.width, lower), fill="white")
    image.paste(colour, (0, 0), ImageChops.darker(mask, band))
