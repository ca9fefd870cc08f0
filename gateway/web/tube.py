"""The field tube of a plot as a drawing: rim, soil, water, dry limit."""

from datetime import date

from markupsafe import Markup

from gateway.web.picture import Picture
from gateway.web.scale import Scale
from gateway.web.svg import tag, together
from gateway.web.words import level_words, near, reckoned_words

WIDTH, HEIGHT = 320, 320
LEFT, RIGHT = 70, 130
RIM_SHOWN_CM = 15.0  # how much tube is drawn above the soil where its rim was never measured
AIR_CM = 4.0
NO_DAY = date(2000, 1, 1)


def draw_tube(picture: Picture) -> Markup:
    """An SVG of the tube cut open, with the level read today, else the one thought likely."""
    scale = _scale(picture)
    return tag(
        "svg",
        tag("title", f"Field tube of {picture.code}", id="tube-title"),
        tag("desc", describe(picture), id="tube-desc"),
        _soil(scale),
        _water(picture, scale),
        _wall(picture, scale),
        _labels(picture, scale),
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        class_="tube",
        role="img",
        aria_labelledby="tube-title tube-desc",
        xmlns="http://www.w3.org/2000/svg",
    )


def describe(picture: Picture) -> str:
    """The drawing in words."""
    rim = "not measured" if picture.rim_cm is None else f"{picture.rim_cm:g} cm above the soil"
    return (
        f"Water {_said(picture)}."
        f" Dry limit {level_words(picture.due_cm)}."
        f" Rim {rim}, bottom {level_words(picture.bottom_cm)}."
    )


def _scale(picture: Picture) -> Scale:
    level = picture.shown_cm or 0.0
    highest = max(_rim(picture), level) + AIR_CM
    lowest = min(picture.bottom_cm, level, picture.due_cm) - AIR_CM
    return Scale(0, WIDTH, 8, HEIGHT - 8, NO_DAY, NO_DAY, highest, lowest)


def _rim(picture: Picture) -> float:
    return RIM_SHOWN_CM if picture.rim_cm is None else picture.rim_cm


def _soil(scale: Scale) -> Markup:
    top = scale.y(0)
    earth = tag("rect", x=0, y=top, width=190, height=scale.bottom - top, class_="earth")
    return together(earth, tag("line", x1=0, x2=190, y1=top, y2=top, class_="soil"))


def _water(picture: Picture, scale: Scale) -> Markup:
    inside = tag(
        "rect",
        x=LEFT,
        y=scale.y(_rim(picture)),
        width=RIGHT - LEFT,
        height=scale.y(picture.bottom_cm) - scale.y(_rim(picture)),
        class_="hollow",
    )
    level = picture.shown_cm
    if level is None:
        return inside
    y, floor = scale.y(level), scale.y(picture.bottom_cm)
    column = tag(
        "rect", x=LEFT, y=y, width=RIGHT - LEFT, height=max(0.0, floor - y), class_="water"
    )
    pond = tag("rect", x=0, y=y, width=190, height=max(0.0, scale.y(0) - y), class_="water pond")
    surface = tag("line", x1=0 if level > 0 else LEFT, x2=190, y1=y, y2=y, class_="surface")
    return together(pond, inside, column, surface)


def _wall(picture: Picture, scale: Scale) -> Markup:
    rim, floor, soil = scale.y(_rim(picture)), scale.y(picture.bottom_cm), scale.y(0)
    wall = f"M{LEFT} {rim:.1f}V{floor:.1f}H{RIGHT}V{rim:.1f}"
    holes = [
        tag("circle", cx=x, cy=soil + 10 + step * 14, r=2, class_="hole")
        for step in range(int((floor - soil - 8) // 14))
        for x in (LEFT, RIGHT)
    ]
    limit = scale.y(picture.due_cm)
    mark = tag("line", x1=LEFT - 16, x2=RIGHT + 60, y1=limit, y2=limit, class_="threshold")
    return together(tag("path", d=wall, class_="wall"), *holes, mark, _doubt(picture, scale))


def _doubt(picture: Picture, scale: Scale) -> Markup:
    """A bracket over the levels that are thought possible (8 of 10 chances)."""
    if (
        picture.level is None
        or picture.seen_cm is not None
        or picture.level.p90 - picture.level.p10 < 1
    ):
        return Markup("")
    high, low = scale.y(picture.level.p90), scale.y(picture.level.p10)
    return tag("path", d=f"M52 {high:.1f}h-6V{low:.1f}h6", class_="bracket")


def _labels(picture: Picture, scale: Scale) -> Markup:
    level = picture.shown_cm
    wanted = [
        (_rim(picture), "rim" if picture.rim_cm is not None else "rim, not measured", "label"),
        (0.0, "soil", "label"),
        (picture.due_cm, f"dry limit {_signed(picture.due_cm)}", "label"),
        (picture.bottom_cm, f"tube ends {_signed(picture.bottom_cm)}", "label"),
    ]
    if level is not None:
        wanted.append(
            (level, f"water {_signed(level, picture.seen_cm is not None)}", "label strong")
        )
    places = _apart([(scale.y(cm), words, kind) for cm, words, kind in wanted])
    return together(*(tag("text", w, x=196, y=y + 4, class_=k) for y, w, k in places))


def _apart(labels: list[tuple[float, str, str]]) -> list[tuple[float, str, str]]:
    """The labels from top to bottom, pushed apart so that none lies on another."""
    placed: list[tuple[float, str, str]] = []
    for y, words, kind in sorted(labels):
        lowest = placed[-1][0] + 16 if placed else 0.0
        placed.append((max(y, lowest), words, kind))
    return placed


def _said(picture: Picture) -> str:
    seen = picture.seen_cm
    return reckoned_words(picture.shown_cm) if seen is None else level_words(seen)


def _signed(level_cm: float, as_read: bool = False) -> str:
    rounded = round(level_cm, 1) if as_read else near(level_cm)
    return f"{'+' if rounded > 0 else '−' if rounded < 0 else ''}{abs(rounded):g} cm"
