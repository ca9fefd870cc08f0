"""Set-up: what the files of the scheme say, as far as the office must know it."""

from flask import Blueprint, render_template

from gateway.web.desk import the_desk

routes = Blueprint("setup", __name__)


@routes.get("/set-up")
def show() -> str:
    """The languages of the growers' texts, and which nobody has read aloud yet."""
    return render_template("setup.html", languages=the_desk().languages())
