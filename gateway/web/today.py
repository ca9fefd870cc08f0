"""Today: what the office must see, water that harms and water that failed first."""

from flask import Blueprint, render_template

from gateway.web.desk import the_desk
from gateway.web.reasons import reason_words

routes = Blueprint("today", __name__)


@routes.get("/today")
def show() -> str:
    """Plots that need the office's word, and blocks in which no water came."""
    desk = the_desk()
    found = desk.attend(desk.scheme())
    bars = {bar for line in (*found.ask, *found.kept) for bar in line.bars}
    words = {bar: reason_words(bar) for bar in bars}
    return render_template("today.html", found=found, words=words)
