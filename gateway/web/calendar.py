"""The calendar: what was owed to whom and what became of it, what is coming, who is silent."""

from collections.abc import Mapping
from datetime import date
from itertools import groupby
from zoneinfo import ZoneInfo

from flask import Blueprint, render_template, request

from gateway.advisory.calendarviews import CalendarFilter, ComingLine
from gateway.advisory.parcels import State
from gateway.web import places
from gateway.web.desk import the_desk
from gateway.web.guard import visitor
from gateway.web.words import state_word

LINES_A_PAGE = 50
DAYS_AHEAD = 14
FILTERS = ("duty", "block", "plot", "state", "from", "to")
routes = Blueprint("calendar", __name__)


@routes.get("/calendar")
def show() -> str:
    """What is coming, by day, and what was owed, the newest first; as filtered."""
    desk, asked = the_desk(), request.args
    scheme, wanted = desk.scheme(), wanted_of(asked, desk.scheme().zone)
    coming = desk.ahead(scheme, wanted, DAYS_AHEAD)
    return render_template(
        "calendar.html",
        owed=desk.calendar.owed_lines(
            visitor().scheme_id, wanted, places.page_of(asked), LINES_A_PAGE
        ),
        coming=_by_day(coming.lines),
        too_many=coming.too_many,
        days=DAYS_AHEAD,
        duties=desk.duties,
        blocks=desk.calendar.blocks(visitor().scheme_id),
        states=[(state.value, state_word(state)) for state in State],
        asked=asked,
        kept={key: asked[key] for key in FILTERS if asked.get(key)},
    )


@routes.get("/calendar/silent")
def silent() -> str:
    """Plots of which a reading was asked for in vain, the longest silent first."""
    desk = the_desk()
    scheme = desk.scheme()
    today = desk.clock.now().astimezone(ZoneInfo(scheme.zone)).date()
    return render_template("silent.html", lines=desk.silence(scheme), today=today)


def wanted_of(query: Mapping[str, str], zone: str) -> CalendarFilter:
    """The filter of a query string; days are whole days of the zone. Junk filters nothing."""
    state, duty = query.get("state"), query.get("duty")
    return CalendarFilter(
        since=places.day_begins(places.day_of(query, "from"), zone),
        until=places.day_ends(places.day_of(query, "to"), zone),
        plot=places.words_of(query, "plot"),
        block=places.words_of(query, "block"),
        duty=duty if duty in the_desk().duties else None,
        state=state if state in tuple(State) else None,
    )


def _by_day(lines: tuple[ComingLine, ...]) -> list[tuple[date, list[tuple[str, list[ComingLine]]]]]:
    """The lines by day, and in each by duty."""
    return [
        (day, [(duty, list(those)) for duty, those in groupby(of_day, key=lambda one: one.duty)])
        for day, of_day in ((d, list(those)) for d, those in groupby(lines, key=lambda one: one.on))
    ]
