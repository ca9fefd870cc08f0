"""The six scenes of a card: what one may find at the tube, beside the text that reports it."""

from typing import Final, NamedTuple

from markupsafe import Markup

from gateway.web.svg import tag, together

WIDTH, HEIGHT = 120, 76
SOIL, BOTTOM, RIM = 40.0, 70.0, 18.0
LEFT, RIGHT = 46.0, 68.0
PER_CM = (BOTTOM - SOIL) / 20


class Scene(NamedTuple):
    """A scene: its name, the level in its tube (signed cm), the words of caption and text."""

    name: str
    level_cm: float | None
    caption: str
    text: str


BELOW_CM, ABOVE_CM, FULL_CM = -12.0, 3.0, 5.0
SCENES: Final = (
    Scene("below", BELOW_CM, "card.below", "card.says-below"),
    Scene("above", ABOVE_CM, "card.above", "card.says-above"),
    Scene("dry", None, "card.dry", "card.says-dry"),
    Scene("flooded", FULL_CM, "card.flooded", "card.says-flooded"),
    Scene("no-water", None, "card.no-water", "card.says-no-water"),
    Scene("person", None, "card.person", "card.says-help"),
)
"""What a grower may see; 12 and 3 cm are examples, as in every text that tells how to report."""


def draw_scene(scene: Scene, number: str) -> Markup:
    """An SVG of the scene; ``number`` is its level as the grower's language writes it."""
    draw = {"no-water": _no_water, "person": _person}.get(scene.name)
    inside = draw() if draw else _at_the_tube(scene, number)
    return tag(
        "svg",
        inside,
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        class_=f"scene {scene.name}",
        aria_hidden="true",
        xmlns="http://www.w3.org/2000/svg",
    )


def _at_the_tube(scene: Scene, number: str) -> Markup:
    parts = [_field(scene.level_cm), _tube(scene.level_cm)]
    if scene.name == "flooded":
        parts.append(_inflow())
    elif scene.level_cm is None:
        parts.append(_cross(57, 54, 8))
    else:
        parts.append(_measure(scene.level_cm, number))
    return together(*parts)


def _y(level_cm: float) -> float:
    return SOIL - level_cm * PER_CM


def _field(level_cm: float | None) -> Markup:
    ground = tag("rect", x=0, y=SOIL, width=WIDTH, height=HEIGHT - SOIL, class_="ground")
    plants = [_plant(x) for x in (10, 28, 106)]
    pond = Markup("")
    if level_cm is not None and level_cm > 0:
        y = _y(level_cm)
        pond = tag("rect", x=0, y=y, width=WIDTH, height=SOIL - y, class_="water")
    line = tag("line", x1=0, x2=WIDTH, y1=SOIL, y2=SOIL, class_="soil")
    return together(ground, pond, line, *plants)


def _plant(x: float, foot: float = SOIL) -> Markup:
    path = f"M{x} {foot:g}v-16M{x} {foot - 4:g}q-5 -4 -7 -14M{x} {foot - 4:g}q5 -4 7 -14"
    return tag("path", d=path, class_="leaf")


def _tube(level_cm: float | None) -> Markup:
    wide = RIGHT - LEFT
    hollow = tag("rect", x=LEFT, y=RIM, width=wide, height=BOTTOM - RIM, class_="hollow")
    water = Markup("")
    if level_cm is not None:
        y = _y(level_cm)
        water = tag("rect", x=LEFT, y=y, width=wide, height=BOTTOM - y, class_="water")
    wall = tag("path", d=f"M{LEFT} {RIM}V{BOTTOM}H{RIGHT}V{RIM}", class_="wall")
    holes = [
        tag("circle", cx=x, cy=y, r=1.1, class_="hole")
        for x in (LEFT, RIGHT)
        for y in (46, 52, 58, 64)
    ]
    return together(hollow, water, wall, *holes)


def _measure(level_cm: float, number: str) -> Markup:
    """A measure from the soil to the water, and how many cm that is."""
    y, soil = _y(level_cm), SOIL
    x = RIGHT + 8
    bar = f"M{x:g} {soil:g}V{y:g}M{x - 4:g} {y:g}H{x + 4:g}M{x - 4:g} {soil:g}H{x + 4:g}"
    level = tag("line", x1=LEFT, x2=x - 4, y1=y, y2=y, class_="level")
    words = tag("text", number, x=x + 7, y=(y + soil) / 2 + 5, class_="measure")
    return together(level, tag("path", d=bar, class_="arrow"), words)


def _inflow() -> Markup:
    """Water that runs in from a pipe at the right, and an arrow with it."""
    pipe = tag("path", d="M120 8H100V18H120", class_="wall")
    flow = tag("path", d="M100 13Q90 13 89 32", class_="flow")
    return together(flow, pipe, tag("path", d="M83 24L89 32L96 25", class_="arrow"))


def _cross(x: float, y: float, size: float) -> Markup:
    path = f"M{x - size} {y - size}l{2 * size} {2 * size}m0 {-2 * size}l{-2 * size} {2 * size}"
    return tag("path", d=path, class_="cross")


def _no_water() -> Markup:
    """A canal with nothing in it between its banks."""
    bed = tag("path", d="M0 30H28L42 62H78L92 30H120V76H0z", class_="ground")
    edge = tag("path", d="M0 30H28L42 62H78L92 30H120", class_="soil-line")
    plants = [_plant(x, 30) for x in (8, 20, 100, 112)]
    return together(bed, edge, *plants, _cross(60, 42, 11))


def _person() -> Markup:
    """Somebody with a phone at the ear, and a question."""
    head = tag("circle", cx=44, cy=24, r=12, class_="hollow-line")
    body = tag("path", d="M20 76V60q0 -16 24 -16t24 16V76", class_="wall")
    phone = tag("path", d="M52 12l7 -2 6 22 -7 2z", class_="handset")
    waves = tag("path", d="M72 12q5 7 4 16M80 8q8 11 6 24M88 4q10 15 8 32", class_="wave")
    return together(head, body, phone, waves)
