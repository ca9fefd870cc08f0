"""The marks on the chart: readings, dry tubes and refloods by shape, other events by letter."""

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from gateway.web.picture import Mark
from gateway.web.scale import Scale
from gateway.web.svg import tag
from gateway.web.words import event_word, level_words

LETTERS: Final = {
    "rain": "R",
    "nitrogen": "N",
    "spray": "S",
    "heading": "H",
    "flowering": "F",
    "no-water": "X",
}


def draw_marks(marks: Sequence[Mark], scale: Scale, bottom_cm: float) -> Markup:
    """Every mark, each with its day and words for who points at it."""
    return tag("g", *(_mark(mark, scale, bottom_cm) for mark in marks))


def draw_trace(marks: Sequence[Mark], scale: Scale) -> Markup:
    """A thin line through each dry-down: from one flooding to the next."""
    return tag("g", *(_fall(places) for places in _falls(marks, scale) if len(places) > 1))


def _falls(marks: Sequence[Mark], scale: Scale) -> list[list[tuple[float, float]]]:
    falls: list[list[tuple[float, float]]] = [[]]
    for mark in marks:
        if mark.kind == "flooded":
            falls.append([])
        if mark.kind in ("reading", "flooded") and mark.level_cm is not None:
            falls[-1].append((scale.x(mark.on), scale.y(mark.level_cm)))
    return falls


def _fall(places: list[tuple[float, float]]) -> Markup:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    return tag("polyline", points=points, class_="trace")


def mark_words(mark: Mark) -> str:
    """A mark in words, with its day."""
    words = "dry tube" if mark.dry else event_word(mark.kind)
    level = "" if mark.dry or mark.level_cm is None else f", {level_words(mark.level_cm)}"
    return f"{mark.on:%-d %b}: {words}{level}"


def _mark(mark: Mark, scale: Scale, bottom_cm: float) -> Markup:
    x, said = scale.x(mark.on), tag("title", mark_words(mark))
    if mark.kind in LETTERS:
        return tag(
            "text",
            LETTERS[mark.kind],
            said,
            x=x,
            y=scale.bottom + 18,
            class_="letter middle",
        )
    y = scale.y(bottom_cm if mark.level_cm is None else mark.level_cm)
    if mark.dry:
        path = f"M{x - 5:.1f} {y - 4:.1f}h10l-5 9z"
        return tag("path", said, d=path, class_="dry")
    if mark.kind == "flooded":
        return _flood(mark, x, y, scale, said)
    return tag("circle", said, cx=x, cy=y, r=4, class_="reading")


def _flood(mark: Mark, x: float, y: float, scale: Scale, said: Markup) -> Markup:
    # A flooding of unknown depth stands on the soil's line, its shape left empty and thin.
    if mark.level_cm is None:
        y, kind = scale.y(0) - 10, "flood open"
    else:
        kind = "flood"
    return tag("path", said, d=f"M{x - 6:.1f} {y + 10:.1f}h12l-6 -10z", class_=kind)
