"""People: who asks to join, which plots no phone reaches, who keeps the outlets and reports."""

from typing import Final

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from gateway.advisory.decidejoin import Decision
from gateway.advisory.errors import NotOnRecord
from gateway.web.desk import the_desk
from gateway.web.guard import needs, visitor

MOST_LOST = 500
MOST_REPORTS = 50
LONGEST_CODE = 20
WORDS: Final = {
    "done": "done",
    "no-power": "no power",
    "broken": "broken",
    "outlet-open": "outlet open",
    "outlet-shut": "outlet shut",
    "gate-keeper": "gate keeper",
    "pump-operator": "pump operator",
    "none": "no phone reads it",
    "left": "its phones have left",
    "asked": "silent or without subscriber, asked anew",
    "soil": "from the soil",
    "rim": "from the rim",
}
routes = Blueprint("people", __name__)


@routes.get("/people")
def show() -> str:
    """Requests first: somebody waits for an answer."""
    return _page()


@routes.post("/people/requests/<int:request_id>/confirm")
@needs("officer")
def confirm(request_id: int) -> Response | tuple[str, int]:
    """Let the phone read the plot, as the form says."""
    desk, form = the_desk(), request.form
    decision = Decision(
        code=form.get("code", "").replace("\x00", "")[:LONGEST_CODE],
        farms=form.get("farms") == "yes",
        instead=form.get("instead") == "yes",
    )
    try:
        desk.decide.confirm(desk.scheme(), request_id, visitor().name, decision)
    except NotOnRecord as error:
        return _page(f"Nothing was done: {error}."), 409
    return redirect(url_for("people.show"))


@routes.post("/people/requests/<int:request_id>/refuse")
@needs("officer")
def refuse(request_id: int) -> Response | tuple[str, int]:
    """Refuse the request; the phone is told."""
    desk = the_desk()
    try:
        desk.decide.refuse(desk.scheme(), request_id, visitor().name)
    except NotOnRecord as error:
        return _page(f"Nothing was done: {error}."), 409
    return redirect(url_for("people.show"))


def _page(problem: str = "") -> str:
    desk, scheme_id = the_desk(), visitor().scheme_id
    return render_template(
        "people.html",
        problem=problem,
        requests=desk.people.requests(scheme_id),
        lost=desk.people.lost(scheme_id, MOST_LOST),
        most_lost=MOST_LOST,
        keepers=desk.people.keepers(scheme_id),
        reports=desk.people.reports(scheme_id, MOST_REPORTS),
        words=WORDS,
    )
