"""The page about oneself."""

from flask import Blueprint, render_template

from gateway.web.guard import visitor

routes = Blueprint("account", __name__)


@routes.get("/account")
def show() -> str:
    """Who one is here, and what that role may do."""
    return render_template("account.html", user=visitor())
