"""Not understood: what came in and was asked back, failed, or got no answer, and unread bytes."""

from flask import Blueprint, render_template, request

from gateway.advisory.views import LogFilter
from gateway.web import places
from gateway.web.desk import the_desk
from gateway.web.guard import visitor

LINES_A_PAGE = 50
MOST_UNREADABLE = 200
# The order is that of what an officer should look at first.
OUTCOMES = ("failed", "ask", "reject")
routes = Blueprint("unclear", __name__)


@routes.get("/unclear")
def show() -> str:
    """One heap at a time; failures first, while there are any."""
    desk, scheme_id = the_desk(), visitor().scheme_id
    totals = {
        outcome: desk.views.reply_log(scheme_id, LogFilter(outcome=outcome), 1, 1).total
        for outcome in OUTCOMES
    }
    heap = _heap(request.args.get("heap"), totals)
    page = None
    if heap in OUTCOMES:
        number = places.page_of(request.args)
        page = desk.views.reply_log(scheme_id, LogFilter(outcome=heap), number, LINES_A_PAGE)
    unreadable = desk.views.unreadable(MOST_UNREADABLE)
    return render_template(
        "unclear.html", totals=totals, heap=heap, page=page, unreadable=unreadable
    )


def _heap(asked: str | None, totals: dict[str, int]) -> str:
    if asked in (*OUTCOMES, "unreadable"):
        return asked
    return next((name for name in OUTCOMES if totals[name]), "ask")
