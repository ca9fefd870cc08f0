"""Broadcasts: write a text to many, see whom it reaches, release it, watch it go, read replies."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from gateway.advisory.broadcasts import Broadcast, NotNow
from gateway.advisory.budget import month_of
from gateway.advisory.errors import GatewayError, NotOnRecord
from gateway.web import broadcastform, places
from gateway.web.desk import the_desk
from gateway.web.guard import needs, visitor
from gateway.web.manywords import HABITS, ROUGH, STAGES, STATES, WATERS

MOST_BROADCASTS, LINES_A_PAGE, MOST_REPLIES, MONTHS = 50, 50, 50, 12
routes = Blueprint("broadcasts", __name__, url_prefix="/broadcasts")
WORDS = {
    "stages": STAGES,
    "waters": WATERS,
    "habits": HABITS,
    "states": STATES,
    "rough": ROUGH,
}


@routes.get("")
def show() -> str:
    """All broadcasts, the newest first."""
    desk = the_desk()
    lines = desk.many.views.broadcasts(visitor().scheme_id, MOST_BROADCASTS)
    return render_template("broadcasts.html", lines=lines, words=WORDS, month=_month())


@routes.get("/new")
@needs("officer")
def new() -> str:
    """The form for a new one."""
    return _form(broadcastform.empty())


@routes.get("/<int:broadcast_id>/change")
@needs("officer")
def change(broadcast_id: int) -> str:
    """The form for a draft."""
    return _form(broadcastform.of(_found(broadcast_id), the_desk().scheme().zone), broadcast_id)


@routes.post("/new")
@needs("officer")
def write() -> Response | tuple[str, int]:
    """Keep a new draft with its list."""
    return _keep(None)


@routes.post("/<int:broadcast_id>/change")
@needs("officer")
def rewrite(broadcast_id: int) -> Response | tuple[str, int]:
    """Other contents for a draft, and a list anew."""
    _found(broadcast_id)
    return _keep(broadcast_id)


@routes.get("/<int:broadcast_id>")
def one(broadcast_id: int) -> str:
    """Its words on a phone, its list, its cost, how far it went, and what came back."""
    return _page(_found(broadcast_id))


@routes.post("/<int:broadcast_id>/<step>")
@needs("officer")
def decide(broadcast_id: int, step: str) -> Response | tuple[str, int]:
    """Try it on a phone of the office, release, pause, go on or cancel."""
    found, desk, user = _found(broadcast_id), the_desk(), visitor()
    use, scheme = desk.many.use, desk.scheme()
    steps: dict[str, Callable[[], object]] = {
        "try": lambda: use.try_on(scheme, user, found.id, request.form.get("number", "")[:30]),
        "release": lambda: use.release(scheme, user, found.id, _seen()),
        "pause": lambda: use.pause(scheme, user, found.id),
        "go-on": lambda: use.go_on(scheme, user, found.id),
        "cancel": lambda: use.cancel(scheme, user, found.id),
    }
    if step not in steps:
        abort(404)
    try:
        steps[step]()
    except GatewayError as error:
        return _page(_found(broadcast_id), str(error)), 409
    return redirect(url_for("broadcasts.one", broadcast_id=broadcast_id, done=step))


@routes.get("/costs")
def costs() -> str:
    """What texts cost, by month and carrier, and by plot since its season began."""
    desk, page = the_desk(), places.page_of(request.args)
    scheme_id = visitor().scheme_id
    plots, total = desk.many.costs.plot_costs(scheme_id, page, LINES_A_PAGE)
    return render_template(
        "costs.html",
        months=desk.many.costs.months(scheme_id, MONTHS),
        month=_month(),
        budget=desk.many.budget,
        carriers=desk.many.carriers,
        plots=[(line, _amounts(line.segments)) for line in plots],
        page=places.Pages(page, max(1, -(-total // LINES_A_PAGE)), total),
    )


# -- parts ----------------------------------------------------------------------------------------


def _found(broadcast_id: int) -> Broadcast:
    desk = the_desk()
    try:
        with desk.store.begin(write=False) as unit:
            return unit.broadcasts.get(visitor().scheme_id, broadcast_id)
    except NotOnRecord:
        abort(404)


def _keep(broadcast_id: int | None) -> Response | tuple[str, int]:
    desk, given = the_desk(), request.form
    filled = broadcastform.given(given)
    try:
        new = broadcastform.read(given, desk.scheme().zone)
        kept = desk.many.use.write(desk.scheme(), visitor(), new, broadcast_id)
    except (NotNow, broadcastform.Unfilled) as error:
        return _form(filled, broadcast_id, str(error)), 422
    return redirect(url_for("broadcasts.one", broadcast_id=kept))


def _form(filled: dict[str, Any], broadcast_id: int | None = None, wrong: str = "") -> str:
    desk = the_desk()
    texts = {
        name: (title, desk.many.use.speaker.days_of(name))
        for name, title in desk.many.use.customs.texts.items()
    }
    return render_template(
        "broadcastform.html",
        filled=filled,
        broadcast_id=broadcast_id,
        wrong=wrong,
        texts=texts,
        days=sorted({day for _, days in texts.values() for day in days}),
        forms=desk.many.use.speaker.forms,
        drafted={
            form: desk.many.use.speaker.is_drafted(form) for form in desk.many.use.speaker.forms
        },
        blocks=desk.calendar.blocks(visitor().scheme_id),
        soils=[(soil, soil.replace("-", " ")) for soil in desk.many.soils],
        words=WORDS,
        customs=desk.many.use.customs,
    )


def _page(found: Broadcast, wrong: str = "") -> str:
    desk, asked = the_desk(), request.args
    use, scheme, size = desk.many.use, desk.scheme(), LINES_A_PAGE
    page = places.page_of(asked)
    lines, total = desk.many.views.listed(scheme.id, found.id, page, size)
    replies, outcomes = desk.many.views.replies(
        scheme.id, found.id, use.customs.replies, MOST_REPLIES
    )
    samples = use.samples(scheme, found)
    segments = sum(sample.phones * sample.count.segments for sample in samples if sample.count)
    return render_template(
        "broadcast.html",
        it=found,
        wrong=wrong,
        done=asked.get("done", ""),
        samples=samples,
        segments=segments,
        price=desk.many.price,
        month=_month(),
        leaves=use.leaves(scheme, found),
        needs_second=use.needs_second(found),
        mine=visitor().name == found.written_by,
        states=desk.many.views.states(scheme.id, found.id),
        lines=lines,
        page=places.Pages(page, max(1, -(-total // size)), total),
        replies=replies,
        outcomes=outcomes,
        words=WORDS,
        customs=use.customs,
    )


def _seen() -> datetime:
    try:
        return datetime.fromisoformat(request.form.get("seen", ""))
    except ValueError:
        raise NotNow("Open the page again, and release it from there.") from None


def _month() -> dict[str, Any]:
    """How this month's money stands."""
    desk = the_desk()
    budget, scheme = desk.many.budget, desk.scheme()
    if budget.cap is None:
        return {"cap": None}
    month = month_of(desk.clock.now(), scheme.zone)
    with desk.store.begin(write=False) as unit:
        spent = unit.spending.of_month(scheme.id, month, budget.cap.currency)
    return {
        "cap": budget.cap,
        "spent": spent,
        "warning": budget.is_warning(spent),
        "full": spent >= budget.cap.amount,
    }


def _amounts(segments: dict[str, float] | Any) -> dict[str, float]:
    """What so many segments by carrier cost, by currency; without a price nothing."""
    found: dict[str, float] = {}
    for carrier, many in segments.items():
        price = the_desk().many.budget.prices.get(carrier)
        if price:
            found[price.currency] = found.get(price.currency, 0.0) + many * price.each
    return found
