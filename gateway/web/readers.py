"""The readers: which phone reads which plots for whom, and how long it has been silent."""

from flask import Blueprint, render_template, request

from gateway.web import places
from gateway.web.desk import the_desk
from gateway.web.guard import visitor

LINES_A_PAGE = 100
routes = Blueprint("readers", __name__)


@routes.get("/people/readers")
def show() -> str:
    """The phones of the scheme or of one block, the longest silent first."""
    desk, scheme_id = the_desk(), visitor().scheme_id
    block = places.words_of(request.args, "block")
    asked = places.page_of(request.args)
    return render_template(
        "readers.html",
        page=desk.readers.readers(scheme_id, block, asked, LINES_A_PAGE),
        blocks=[line.name for line in desk.blocks.blocks(scheme_id)],
        block=block,
        kept={"block": block} if block else {},
        now=desk.clock.now(),
    )
