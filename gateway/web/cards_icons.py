"""Small drawings of a card that say without words what its words say. Drawn on a 24 x 24 field."""

from typing import Final

from markupsafe import Markup

from gateway.web.svg import tag

_LINE: Final = "line"
_FULL: Final = "full"
# Each stroke: how it is drawn, and its path.
ICONS: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    # a young rice plant on the soil
    "plant": (
        (_LINE, "M12 23V9M12 18C7 17 5 12 4 6M12 18C17 17 19 12 20 6M12 12C10 9 9 6 9 2"),
        (_LINE, "M2 23H22"),
    ),
    # a bar above waves: filled, no more
    "full": (
        (_FULL, "M2 3H22V7H2z"),
        (_LINE, "M2 13C5 10 8 10 12 13S19 16 22 13M2 19C5 16 8 16 12 19S19 22 22 19"),
    ),
    # a drop that falls onto a line: let water in
    "irrigate": (
        (_FULL, "M12 1C8 7 6 10 6 13A6 6 0 0 0 18 13C18 10 16 7 12 1z"),
        (_LINE, "M2 22H22"),
    ),
    # the lower end of a tube
    "bottom": ((_LINE, "M5 2V19H19V2"), (_FULL, "M2 20H22V23H2z")),
    # the sun half risen
    "morning": (
        (_LINE, "M1 18H23M6 18A6 6 0 0 1 18 18M12 2V8M3 6L7 11M21 6L17 11"),
        (_LINE, "M4 22H20"),
    ),
    # a stick in a tube
    "stick": ((_LINE, "M6 6V22H18V6M6 15H18"), (_FULL, "M11 1H14V22H11z")),
    # scissors
    "cut": (
        (_LINE, "M4 2L18.5 17M20 2L5.5 17"),
        (_LINE, "M7 20A3 3 0 1 1 1 20A3 3 0 1 1 7 20M23 20A3 3 0 1 1 17 20A3 3 0 1 1 23 20"),
    ),
    # a ruler
    "ruler": ((_LINE, "M1 8H23V16H1zM5 8V12M9 8V12M13 8V12M17 8V12"),),
    # a phone with a text on it
    "phone": (
        (_LINE, "M6 1H18V23H6zM6 5H18M6 18H18"),
        (_LINE, "M8.5 8.5H15.5M8.5 11.5H15.5M8.5 14.5H13"),
    ),
    # a bottle with a cross on it
    "spray": (
        (_LINE, "M8 8V4H16V8L19 12V23H5V12zM10 4V1H14V4"),
        (_LINE, "M8.5 13.5L15.5 20.5M15.5 13.5L8.5 20.5"),
    ),
    # two people under the moon
    "night": (
        (_FULL, "M20 1A6 6 0 1 0 23 9A5 5 0 0 1 20 1z"),
        (_LINE, "M6 10A2.5 2.5 0 1 1 6 9.9M2 23V16H10V23M14 14A2.5 2.5 0 1 1 14 13.9M12 23V19"),
        (_LINE, "M11 19H18V23"),
    ),
    # a sack
    "sack": ((_LINE, "M8 6C2 12 3 20 5 23H19C21 20 22 12 16 6zM8 6L6 1H18L16 6z"),),
    # earth under standing water
    "keep-wet": (
        (_FULL, "M1 16H23V23H1z"),
        (_LINE, "M1 6C4 3 8 3 12 6S20 9 23 6M1 11C4 8 8 8 12 11S20 14 23 11"),
    ),
}


def icon(name: str, x: float = 0, y: float = 0, size: float = 0) -> Markup:
    """The drawing of that name; inside another one where a ``size`` is given."""
    strokes = [tag("path", d=path, class_=kind) for kind, path in ICONS[name]]
    place = {"x": x, "y": y, "width": size, "height": size} if size else {}
    return tag(
        "svg",
        *strokes,
        viewBox="0 0 24 24",
        class_="icon",
        aria_hidden="true",
        **place,
    )
