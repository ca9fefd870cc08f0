"""Printed cards: one A5 page a plot, for a block at a time or for one plot."""

from flask import Blueprint, abort, render_template, request
from markupsafe import Markup

from gateway.advisory.cards import Card
from gateway.web import places
from gateway.web.cards_icons import icon
from gateway.web.cards_scenes import SCENES, Scene, draw_scene
from gateway.web.cards_strip import draw_earth, draw_strip, pieces_of
from gateway.web.desk import the_desk

# The advice that never stands on a card, for it changes with the season: the text has it.
READING = (("morning", "card.look"), ("stick", "card.count"))
CUTTING = (("ruler", "card.check"), ("cut", "card.glue"))
CARE = (
    ("phone", "card.follow"),
    ("spray", "card.spray"),
    ("sack", "card.fertiliser"),
    ("night", "card.night"),
)
routes = Blueprint("cards", __name__)


@routes.get("/cards")
def show() -> str:
    """The cards of ``?block=`` or ``?plot=``, ready for the browser's own way to print."""
    desk, scheme = the_desk(), the_desk().scheme()
    block, plot = places.words_of(request.args, "block"), places.words_of(request.args, "plot")
    if block is not None:
        cards = desk.cards.of_block(scheme, block)
    else:
        cards = desk.cards.of_plot(scheme, plot.upper()) if plot else []
    if not cards:
        abort(404)
    return render_template(
        "cards.html",
        cards=cards,
        whose=f"block {block}" if block else f"plot {cards[0].code}",
        scenes=SCENES,
        scene=scene_of,
        says=says,
        strip=draw_strip,
        pieces=pieces_of,
        earth=draw_earth(),
        icon=icon,
        reading=READING,
        cutting=CUTTING,
        legend=legend_of,
        care=care_of,
    )


def scene_of(card: Card, scene: Scene) -> Markup:
    """The drawing of a scene, with its number in the card's own digits."""
    return draw_scene(scene, card.words.number(abs(scene.level_cm or 0)))


def says(card: Card, scene: Scene) -> str:
    """What to text when things stand as in the scene."""
    return card.words.say(scene.text, plot=card.code, cm=abs(scene.level_cm or 0))


def legend_of(card: Card) -> list[tuple[str, str]]:
    """The marks on the strip. A plot that must not dry has no mark for the dry limit."""
    dry = [("irrigate", "card.irrigate")] if card.dry_cm is not None else []
    return [("full", "card.fill"), ("plant", "card.soil"), *dry, ("bottom", "card.bottom")]


def care_of(card: Card) -> list[tuple[str, str]]:
    """What to mind; first that the plot must stay wet, where it must."""
    wet = [("keep-wet", "card.keep-wet")] if card.dry_cm is None else []
    return [*wet, *CARE]
