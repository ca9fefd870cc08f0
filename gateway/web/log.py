"""The reply log: every text in and out, who, when, what was understood, what became of it."""

from collections.abc import Mapping

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from gateway.advisory.parcels import State
from gateway.advisory.views import LogFilter
from gateway.web import places
from gateway.web.desk import the_desk
from gateway.web.guard import visitor
from gateway.web.words import OUTCOMES, outcome_word, state_word

LINES_A_PAGE = 50
DIRECTIONS = ("in", "out")
FILTERS = ("plot", "from", "to", "way", "outcome", "state", "words")
routes = Blueprint("log", __name__)


@routes.get("/")
def first() -> Response:
    """The first page is the reply log."""
    return redirect(url_for("log.show"))


@routes.get("/log")
def show() -> str:
    """The newest lines first, as filtered."""
    desk, asked = the_desk(), request.args
    wanted = wanted_of(asked, desk.scheme().zone)
    page = desk.views.reply_log(visitor().scheme_id, wanted, places.page_of(asked), LINES_A_PAGE)
    kept = {key: asked[key] for key in FILTERS if asked.get(key)}
    states = [(state.value, state_word(state)) for state in State]
    outcomes = [(outcome, outcome_word(outcome)) for outcome in OUTCOMES]
    return render_template(
        "log.html", page=page, asked=asked, kept=kept, states=states, outcomes=outcomes
    )


def wanted_of(query: Mapping[str, str], zone: str) -> LogFilter:
    """The filter of a query string; days are whole days of the zone. Junk filters nothing."""
    return LogFilter(
        since=places.day_begins(places.day_of(query, "from"), zone),
        until=places.day_ends(places.day_of(query, "to"), zone),
        plot=_code(query),
        outcome=_one_of(query, "outcome", tuple(OUTCOMES)),
        state=_one_of(query, "state", tuple(State)),
        direction=_one_of(query, "way", DIRECTIONS),
        words=places.words_of(query, "words"),
    )


def _code(query: Mapping[str, str]) -> str | None:
    code = places.words_of(query, "plot")
    return code.upper() if code else None


def _one_of(query: Mapping[str, str], key: str, known: tuple[str, ...]) -> str | None:
    value = query.get(key)
    return value if value in known else None
