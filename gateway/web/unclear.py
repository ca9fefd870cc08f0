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
    heaps = {
        outcome: desk.views.reply_log(scheme_id, LogFilter(outcome=outcome), 1, LINES_A_PAGE)
        for outcome in OUTCOMES
    }
    unreadable = desk.views.unreadable(MOST_UNREADABLE)
    heap = _heap(request.args.get("heap"), {name: page.total for name, page in heaps.items()})
    number = places.page_of(request.args)
    page = heaps.get(heap)
    if page is not None and number > 1:
        page = desk.views.reply_log(scheme_id, LogFilter(outcome=heap), number, LINES_A_PAGE)
    return render_template("unclear.html", heaps=heaps, heap=heap, page=page, unreadable=unreadable)


def _heap(asked: str | None, totals: dict[str, int]) -> str:
    if asked in (*OUTCOMES, "unreadable"):
        return asked
    return next((name for name in OUTCOMES if totals[name]), "ask")
