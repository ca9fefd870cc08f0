"""The blocks: how far each has come, and the way to its plots and cards."""

from flask import Blueprint, render_template

from gateway.web.desk import the_desk
from gateway.web.guard import visitor

routes = Blueprint("blocks", __name__)


@routes.get("/blocks")
def show() -> str:
    """Every block of the scheme by name."""
    return render_template("blocks.html", blocks=the_desk().blocks.blocks(visitor().scheme_id))
