"""The dip strip of a card, in millimetres: pieces of 10 cm to cut out and glue end to end.

Glued on a stick whose lower end stands on the bottom of the tube, the strip shows the level where
the stick is wet. Above the soil it is white, below it is dotted like earth, so that no sign is
needed; a notch points at where to fill to and at where to irrigate.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

from markupsafe import Markup

from gateway.advisory.cards import Card
from gateway.web.cards_icons import icon
from gateway.web.svg import tag, together

MM = 10.0  # millimetres a centimetre
PIECE_CM, LEAST_ABOVE_CM = 10.0, 5.0
TOP, BAR = 6.0, 11.0

Numeral = Callable[[float], str]


class Width(NamedTuple):
    """How wide a piece is, the room beside it for its marks, their size, a notch's depth; in mm."""

    piece: float
    gap: float
    mark: float
    notch: float


USUAL, SLIM = Width(14.0, 8.0, 6.0, 3.0), Width(10.0, 4.2, 3.8, 1.4)
USUAL_PIECES = 3
"""So many pieces have the usual width; a longer tube needs more of them, and slimmer ones."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the strip from ``high`` down to ``low`` (signed cm), its left edge at ``x`` mm."""

    number: int
    high: float
    low: float
    x: float
    width: Width

    @property
    def edge(self) -> float:
        """Its right edge, in mm."""
        return self.x + self.width.piece

    @property
    def middle(self) -> float:
        """Where its numbers stand, in mm."""
        return self.x + self.width.piece * 0.58

    def y(self, level_cm: float) -> float:
        """Where a level lies, in mm."""
        return TOP + (self.high - level_cm) * MM

    def holds(self, level_cm: float) -> bool:
        """Whether a level lies on this piece; a cut belongs to the piece above it."""
        return self.low <= level_cm < self.high or level_cm == self.high == self.top_of_all

    @property
    def top_of_all(self) -> float | None:
        """Its upper end where it is the uppermost piece."""
        return self.high if self.number == 1 else None


def pieces_of(card: Card) -> list[Piece]:
    """The pieces from a little above the fill mark down to the bottom of the tube."""
    top = max(LEAST_ABOVE_CM, float(ceil(card.fill_cm))) + 1
    count = ceil((top - card.bottom_cm) / PIECE_CM)
    width = USUAL if count <= USUAL_PIECES else SLIM
    step = width.piece + width.gap
    return [
        Piece(
            number + 1,
            top - number * PIECE_CM,
            max(top - (number + 1) * PIECE_CM, card.bottom_cm),
            BAR + number * step,
            width,
        )
        for number in range(count)
    ]


def draw_strip(card: Card) -> Markup:
    """An SVG of the check bar and the pieces, at its true size on paper."""
    pieces = pieces_of(card)
    width = pieces[-1].edge + pieces[-1].width.gap
    height = TOP + PIECE_CM * MM + 2
    return tag(
        "svg",
        _check_bar(card.words.say("card.bar", cm=PIECE_CM)),
        *(_piece(piece, card) for piece in pieces),
        viewBox=f"0 0 {width:g} {height:g}",
        width=f"{width:g}mm",
        height=f"{height:g}mm",
        class_="strip",
        aria_hidden="true",
        xmlns="http://www.w3.org/2000/svg",
    )


def draw_earth() -> Markup:
    """The dots of the earth, once a page; every strip refers to them."""
    dots = (tag("circle", cx=0.8, cy=0.8, r=0.25), tag("circle", cx=2.3, cy=2.3, r=0.25))
    pattern = tag(
        "pattern", *dots, id="earth", width=3, height=3, patternUnits="userSpaceOnUse", class_="dot"
    )
    return tag("svg", tag("defs", pattern), width=0, height=0, class_="earth", aria_hidden="true")


def _check_bar(length: str) -> Markup:
    """A bar of 10 cm, to be held against a ruler before anything is cut; ``length`` in words."""
    bar = tag("rect", x=4, y=TOP, width=2, height=PIECE_CM * MM, class_="check-bar")
    ends = [
        tag("line", x1=2.5, x2=7.5, y1=y, y2=y, class_="tick") for y in (TOP, TOP + PIECE_CM * MM)
    ]
    words = tag("text", length, x=5, y=TOP - 1.5, class_="middle small")
    return together(bar, *ends, words)


def _piece(piece: Piece, card: Card) -> Markup:
    return together(
        _paper(piece),
        *_ticks(piece, card.words.number),
        *_marks(piece, card),
        tag("rect", x=piece.x, y=TOP, width=piece.width.piece, height=_long(piece), class_="cut"),
        _ordinal(piece, card.words.number),
    )


def _long(piece: Piece) -> float:
    return (piece.high - piece.low) * MM


def _paper(piece: Piece) -> Markup:
    """White above the soil, earth below it, and the soil's own line."""
    soil = min(max(piece.y(0), TOP), TOP + _long(piece))
    depth = TOP + _long(piece) - soil
    below = tag(
        "rect", x=piece.x, y=soil, width=piece.width.piece, height=depth, fill="url(#earth)"
    )
    if not piece.low < 0 < piece.high:
        return below
    size = piece.width.mark
    line = tag("line", x1=piece.x, x2=piece.edge, y1=soil, y2=soil, class_="soil")
    return together(below, line, icon("plant", piece.edge + 0.3, soil - size, size))


def _ticks(piece: Piece, numeral: Numeral) -> Iterator[Markup]:
    """A long line a cm with its number, a short one between; the cut ends bear none."""
    for half in range(ceil(piece.low * 2) + 1, ceil(piece.high * 2)):
        level, y = half / 2, piece.y(half / 2)
        whole = half % 2 == 0
        long = piece.width.piece * (0.3 if whole else 0.16)
        yield tag("line", x1=piece.x, x2=piece.x + long, y1=y, y2=y, class_="tick")
        if whole:
            yield tag("circle", cx=piece.middle, cy=y, r=2.9, class_="clear")
            yield tag(
                "text", numeral(abs(level)), x=piece.middle, y=y + 1.35, class_="middle number"
            )


def _marks(piece: Piece, card: Card) -> Iterator[Markup]:
    wanted = (("full", card.fill_cm), ("irrigate", card.dry_cm), ("bottom", card.bottom_cm))
    for name, level in wanted:
        if level is None or not piece.holds(level):
            continue
        y, size = piece.y(level), piece.width.mark
        yield icon(name, piece.edge + 0.3, y - size if name == "bottom" else y - size / 2, size)
        if name != "bottom":
            yield _notch(piece, y)


def _notch(piece: Piece, y: float) -> Markup:
    """A black wedge at the edge: cut it out of the stick, and the finger finds it in the dark."""
    edge = piece.edge
    path = f"M{edge:g} {y - 2:g}L{edge - piece.width.notch:g} {y:g}L{edge:g} {y + 2:g}z"
    return tag("path", d=path, class_="wedge")


def _ordinal(piece: Piece, numeral: Numeral) -> Markup:
    """Which piece it is, above it, so that they are glued in their order."""
    middle = (piece.x + piece.edge) / 2
    ring = tag("circle", cx=middle, cy=TOP - 3, r=2.5, class_="ring")
    return together(
        ring, tag("text", numeral(piece.number), x=middle, y=TOP - 1.75, class_="middle number")
    )
