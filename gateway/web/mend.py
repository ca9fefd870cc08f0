"""Stop and mend: let advice rest, tell facts of whole blocks and undo them, call texts back."""

from collections.abc import Mapping
from datetime import date
from math import isfinite
from typing import Any, Final, cast
from zoneinfo import ZoneInfo

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from gateway.advisory.blockfact import NewFact
from gateway.advisory.errors import GatewayError
from gateway.advisory.mending import CONCERNS, Concern
from gateway.advisory.pause import NewPause
from gateway.web import places
from gateway.web.desk import the_desk
from gateway.web.guard import needs, visitor

KINDS: Final = {
    "flooded": "irrigated",
    "rain": "rain",
    "canal-shut": "canal shut, no water came",
    "planted": "planted",
    "sprayed": "sprayed",
    "salty": "canal water is salty",
    "submerged": "plants under water",
}
ABOUT: Final = {"rules": "version of the rules", "weather": "weather", "import": "sheet of plots"}
SAFETY: Final = {"call": "“ask the office”", "pause": "nothing either"}
SHOWN_LINES: Final = 200
routes = Blueprint("mend", __name__)
Answer = Response | str | tuple[str, int]


@routes.get("/mend")
def show() -> str:
    """All three, with the newest of each."""
    return _page()


# -- pauses ---------------------------------------------------------------------------------------


@routes.post("/mend/pauses")
@needs("officer")
def pause() -> Answer:
    """Let advice rest as the form says."""
    desk, form = the_desk(), request.form
    last_on = places.day_of(form, "last_on")
    if last_on is None or form.get("safety") not in SAFETY:
        return _page("Nothing was changed: the last day is missing."), 409
    new = NewPause(
        plot=(_word("plot") or "").upper() or None,
        block=_word("block"),
        reason=_word("reason") or "",
        last_on=last_on,
        safety="call" if form["safety"] == "call" else "pause",
    )
    try:
        desk.pauses(desk.scheme(), visitor().name, new)
    except GatewayError as error:
        return _page(str(error)), 409
    return redirect(url_for("mend.show"))


@routes.post("/mend/pauses/<int:pause_id>/end")
@needs("officer")
def end_pause(pause_id: int) -> Answer:
    """End a pause now."""
    desk = the_desk()
    if not desk.pauses.end(desk.scheme(), visitor().name, pause_id):
        return _page("That pause has ended already."), 409
    return redirect(url_for("mend.show"))


# -- facts of blocks ------------------------------------------------------------------------------


@routes.post("/mend/facts")
@needs("officer")
def tell() -> Answer:
    """Show what a fact would change; write it where the form comes from what was shown."""
    desk = the_desk()
    try:
        new = _fact()
        if request.form.get("step") == "write":
            desk.block_facts(desk.scheme(), visitor().name, new)
            return redirect(url_for("mend.show"))
        lines = desk.block_facts.preview(desk.scheme(), new)
    except GatewayError as error:
        return _page(str(error)), 409
    return _page(fact=new, lines=lines)


@routes.post("/mend/facts/<int:fact_id>/undo")
@needs("officer")
def undo(fact_id: int) -> Answer:
    """Take a fact back from all plots of its block."""
    desk = the_desk()
    try:
        undone = desk.block_facts.undo(desk.scheme(), visitor().name, fact_id)
    except GatewayError as error:
        return _page(str(error)), 409
    if undone is None:
        return _page("That fact was undone already."), 409
    if undone.kept:
        kept = " ".join(undone.kept)
        return _page(f"Undone, but {kept} was put right since: look at it by hand.")
    return redirect(url_for("mend.show"))


def _fact() -> NewFact:
    form = request.form
    return NewFact(
        block=_word("of") or "",
        kind=form.get("kind", ""),
        on=places.day_of(form, "on") or _today(),
        left_out=tuple((_word("left_out") or "").upper().replace(",", " ").split()),
        cm=_number("cm") if form.get("kind") == "flooded" else None,
        mm=_number("mm") if form.get("kind") == "rain" else None,
        product=_word("product") if form.get("kind") == "sprayed" else None,
    )


# -- calling back ---------------------------------------------------------------------------------


@routes.post("/mend/recalls")
@needs("supervisor")
def call_back() -> Answer:
    """Show who would get which correction; send them where the form comes from what was shown."""
    desk, name = the_desk(), request.form.get("name", "")
    about = _concern(request.form.get("about", ""))
    try:
        if request.form.get("step") == "send":
            sent = desk.recall(desk.scheme(), visitor().name, about, name)
            if sent is None:
                return _page("Those texts were called back already."), 409
            return redirect(url_for("mend.show"))
        corrections = desk.recall.preview(desk.scheme(), about, name)
    except GatewayError as error:
        return _page(str(error)), 409
    return _page(recalling=(about, name), corrections=corrections)


def _concern(told: str) -> Concern:
    return cast(Concern, told) if told in CONCERNS else abort(400)


# -- the page -------------------------------------------------------------------------------------


def _page(problem: str = "", **shown: Any) -> str:
    desk = the_desk()
    scheme = desk.scheme()
    return render_template(
        "mend.html",
        problem=problem,
        pauses=desk.pauses.lines(scheme),
        facts=desk.block_facts.lines(scheme),
        suspects=desk.recall.suspects(scheme) if "recalling" not in shown else [],
        blocks=desk.calendar.blocks(scheme.id),
        kinds=KINDS,
        about=ABOUT,
        safety=SAFETY,
        today=_today(),
        asked=request.args,
        most=SHOWN_LINES,
        **{"fact": None, "recalling": None, **shown},
    )


def _today() -> date:
    desk = the_desk()
    return desk.clock.now().astimezone(ZoneInfo(desk.scheme().zone)).date()


def _word(key: str) -> str | None:
    form: Mapping[str, str] = request.form
    return (places.words_of(form, key) or "").replace("\x00", "") or None


def _number(key: str) -> float | None:
    """A number of the form; none where it is no number, which is then said to be missing."""
    try:
        value = float((_word(key) or "").replace(",", "."))
    except ValueError:
        return None
    return value if isfinite(value) else None
