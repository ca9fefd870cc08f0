"""The season of a plot as a drawing: levels over days, with what was seen and what is forecast."""

from collections.abc import Callable

from markupsafe import Markup

from gateway.agronomy.advice import Band
from gateway.web.chart_frame import (
    FOOT,
    STRIP,
    day_words,
    draw_grid,
    draw_patterns,
    draw_stages,
    draw_today,
)
from gateway.web.chart_marks import draw_marks, draw_trace
from gateway.web.picture import Picture, Span
from gateway.web.scale import Scale
from gateway.web.svg import tag, together
from gateway.web.words import band_words, level_words

AIR_CM = 3.0


def draw_season(picture: Picture, width: int, height: int) -> Markup:
    """An SVG of that size. Its title and description say what it shows to who cannot see it."""
    scale = _scale(picture, width, height)
    ids = f"season-{width}"
    return tag(
        "svg",
        tag("title", f"Water level of {picture.code} over the season", id=f"{ids}-title"),
        tag("desc", describe(picture), id=f"{ids}-desc"),
        draw_patterns(ids, scale),
        draw_stages(picture, scale, ids),
        draw_grid(scale),
        tag(
            "g",
            _forecast(picture, scale),
            draw_trace(picture.marks, scale),
            clip_path=f"url(#{ids}-clip)",
        ),
        _threshold(picture, scale),
        draw_marks(picture.marks, scale, picture.bottom_cm),
        draw_today(picture, scale),
        viewBox=f"0 0 {width} {height}",
        class_="season",
        role="img",
        aria_labelledby=f"{ids}-title {ids}-desc",
        xmlns="http://www.w3.org/2000/svg",
    )


def describe(picture: Picture) -> str:
    """The drawing in a few sentences."""
    readings = [mark for mark in picture.marks if mark.kind == "reading"]
    refloods = sum(mark.kind == "flooded" for mark in picture.marks)
    said = [
        f"From {day_words(picture.first)} to {day_words(picture.last)}:"
        f" {len(readings)} readings, {refloods} times flooded."
    ]
    if readings:
        last = readings[-1]
        level = "dry tube" if last.dry else level_words(last.level_cm)
        said.append(f"Last reading {day_words(last.on)}: {level}.")
    if picture.level:
        said.append(f"Thought to be today {band_words(picture.level)}.")
    if picture.crossing.p10 and picture.crossing.p90:
        first, last_day = day_words(picture.crossing.p10), day_words(picture.crossing.p90)
        said.append(f"Likely to need water between {first} and {last_day}.")
    said.append(f"Dry limit: {level_words(picture.threshold_cm)}.")
    return " ".join(said)


def _scale(picture: Picture, width: int, height: int) -> Scale:
    levels = [mark.level_cm for mark in picture.marks if mark.level_cm is not None]
    if picture.level:
        levels += [picture.level.p10, picture.level.p90]
    highest = max([10.0, *levels]) + AIR_CM
    lowest = min([picture.threshold_cm, picture.bottom_cm, *levels]) - AIR_CM
    return Scale(
        40, width - 10, STRIP + 26, height - FOOT - 26, picture.first, picture.last, highest, lowest
    )


def _threshold(picture: Picture, scale: Scale) -> Markup:
    """The dry limit of the season; the flowering window has its own, drawn while it runs."""
    words = tag(
        "text",
        "dry limit",
        x=scale.left + 4,
        y=scale.y(picture.threshold_cm) - 4,
        class_="axis threshold-word",
    )
    spans = picture.spans or (Span("unknown", picture.first, picture.last),)
    return together(*(_limit(span, picture, scale) for span in spans), words)


def _limit(span: Span, picture: Picture, scale: Scale) -> Markup:
    level = picture.threshold_cm
    if span.stage == "flowering":
        if not span.first <= picture.today <= span.last:
            return Markup("")
        level = picture.due_cm
    left, right, y = scale.x(span.first, 0), scale.x(span.last, 1), scale.y(level)
    return tag("line", x1=left, x2=right, y1=y, y2=y, class_="threshold")


def _forecast(picture: Picture, scale: Scale) -> Markup:
    """How the level may fall, bending at the soil: 8 of 10 chances lie between the edges."""
    level, crossing = picture.level, picture.crossing
    if level is None:
        return Markup("")
    x = scale.x(picture.today)
    low, high = scale.y(level.p10), scale.y(level.p90)
    bar = tag("line", x1=x, x2=x, y1=low, y2=high, class_="doubt")
    if not crossing.p90 or crossing.p90 <= picture.today:
        return bar
    fan = [day for day in picture.fan if day.on <= crossing.p90]
    days = [x, *(scale.x(day.on) for day in fan)]
    levels = [level, *(day.level_cm for day in fan)]
    limit = scale.y(picture.due_cm)

    def edge(part: Callable[[Band], float]) -> list[tuple[float, float]]:
        places = zip(days, levels, strict=True)
        return [(place, min(limit, scale.y(part(each)))) for place, each in places]

    upper, lower = edge(lambda each: each.p90), edge(lambda each: each.p10)
    band = tag("polygon", points=_points([*upper, *reversed(lower)]), class_="band")
    likely = tag("polyline", points=_points(edge(lambda each: each.p50)), class_="likely")
    return together(band, likely, bar)


def _points(places: list[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
