"""The frame of the chart: levels, days, the strip of stages, the flowering window, today."""

from datetime import date
from typing import Final

from markupsafe import Markup

from gateway.web.picture import Picture, span_words
from gateway.web.scale import Scale
from gateway.web.svg import tag, together

STRIP: Final = 24
FOOT: Final = 18
LETTER: Final = 6.2  # the usual width of a letter at the drawing's size of writing


def draw_patterns(ids: str, scale: Scale) -> Markup:
    """The hatching, and the paper that lines may not leave."""
    lines = tag("path", d="M0 8L8 0", class_="hatch")
    hatch = tag(
        "pattern",
        lines,
        id=f"{ids}-hatch",
        width=8,
        height=8,
        patternUnits="userSpaceOnUse",
    )
    paper = tag(
        "rect",
        x=scale.left,
        y=scale.top,
        width=scale.right - scale.left,
        height=scale.bottom - scale.top,
    )
    return tag("defs", hatch, tag("clipPath", paper, id=f"{ids}-clip"))


def draw_stages(picture: Picture, scale: Scale, ids: str) -> Markup:
    """The strip of stages on top; each names itself, in writing where there is room."""
    drawn = []
    for number, span in enumerate(picture.spans):
        left, right = scale.x(span.first, 0), scale.x(span.last, 1)
        words = span_words(span)
        if span.stage == "flowering":
            drawn.append(_window(scale, left, right, ids))
        shade = f"stage stage-{number % 2}"
        said = tag("title", f"{words}, {day_words(span.first)} to {day_words(span.last)}")
        drawn.append(
            tag("rect", said, x=left, y=14, width=right - left, height=STRIP, class_=shade)
        )
        if len(words) * LETTER + 4 <= right - left:
            middle = (left + right) / 2
            drawn.append(tag("text", words, x=middle, y=30, class_="stage-word middle"))
    return tag("g", *drawn)


def _window(scale: Scale, left: float, right: float, ids: str) -> Markup:
    """The flowering window, hatched over the whole height."""
    return tag(
        "rect",
        x=left,
        y=scale.top,
        width=right - left,
        height=scale.bottom - scale.top,
        fill=f"url(#{ids}-hatch)",
        class_="window",
    )


def draw_grid(scale: Scale) -> Markup:
    """Lines of level with their numbers, and ticks of days with their dates."""
    drawn = []
    for level in scale.levels():
        y = scale.y(level)
        kind = "soil" if level == 0 else "grid"
        drawn.append(tag("line", x1=scale.left, x2=scale.right, y1=y, y2=y, class_=kind))
        sign = "+" if level > 0 else "−" if level < 0 else ""
        drawn.append(
            tag("text", f"{sign}{abs(level)}", x=scale.left - 6, y=y + 4, class_="axis end")
        )
    drawn.append(tag("text", "cm", x=scale.left - 6, y=scale.top - 8, class_="axis end"))
    drawn.append(tag("text", "soil", x=scale.left + 4, y=scale.y(0) - 3, class_="axis soil-word"))
    days = (scale.last - scale.first).days
    for day in scale.days(14 if days > 60 else 7):
        x = scale.x(day)
        drawn.append(tag("line", x1=x, x2=x, y1=scale.bottom, y2=scale.bottom + 5, class_="tick"))
        words = day_words(day)
        drawn.append(tag("text", words, x=x, y=scale.bottom + FOOT + 18, class_="axis middle"))
    return tag("g", *drawn)


def draw_today(picture: Picture, scale: Scale) -> Markup:
    """The line of today."""
    x = scale.x(picture.today)
    line = tag("line", x1=x, x2=x, y1=scale.top - 8, y2=scale.bottom, class_="today")
    right = x > scale.right - 60
    words = tag(
        "text",
        "today",
        x=x - 4 if right else x + 4,
        y=scale.top - 2,
        class_="axis end today-word" if right else "axis today-word",
    )
    return together(line, words)


def day_words(day: date) -> str:
    """A day on the drawing: ``10 Mar``."""
    return day.strftime("%-d %b")
