"""Pages for what goes wrong. The reader gets words and a reference, the log gets the rest."""

import logging
import secrets
import traceback

from flask import Flask, Response, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from gateway.advisory.errors import NotOnRecord, StoreDown
from gateway.advisory.number import hide_numbers

log = logging.getLogger(__name__)

WORDS = {
    400: ("Not understood", "The form that was sent is not one of this office."),
    403: ("Not allowed", "This page is not open to you, or its form had grown old."),
    404: ("Not here", "There is no such page, plot or phone in this scheme."),
    405: ("Not this way", "This address does not take that kind of request."),
    413: ("Too large", "What was sent is larger than anything this office takes."),
    429: ("Too many tries", "Wait a few minutes, then try again."),
    503: ("Store down", "The records cannot be reached just now. Nothing was lost or changed."),
}
OTHER = ("Something went wrong", "The office's log has the details under the reference below.")


def register(app: Flask) -> None:
    """Let the application answer every error with a page of ours."""
    app.register_error_handler(HTTPException, refused)
    app.register_error_handler(NotOnRecord, missing)
    app.register_error_handler(StoreDown, store_down)
    app.register_error_handler(Exception, fault)


def refused(error: HTTPException) -> Response:
    """An error that HTTP has a number for; a redirect of the router passes as it is."""
    status = error.code or 500
    if status < 400:
        return make_response(error.get_response())
    if request.blueprint == "callbacks":
        return plain(status, error.name.lower())
    return page(status)


def missing(error: NotOnRecord) -> Response:
    """Something was asked for that is not on record; what it was is not repeated."""
    return page(404)


def store_down(error: StoreDown) -> Response:
    """The database does not answer."""
    log.error("store down at %s", request.endpoint)
    return page(503)


def fault(error: Exception) -> Response:
    """Anything unforeseen: frames to the log with numbers hidden, a reference to the reader."""
    reference = secrets.token_hex(4)
    frames = "".join(traceback.format_tb(error.__traceback__))
    words = hide_numbers(f"{type(error).__name__}: {error}")
    log.error("fault %s at %s\n%s%s", reference, request.endpoint, frames, words)
    if request.blueprint == "callbacks":
        return plain(500, f"fault, reference {reference}")
    return page(500, reference)


def plain(status: int, words: str) -> Response:
    """A line for a machine."""
    return Response(words + "\n", status=status, content_type="text/plain; charset=utf-8")


def page(status: int, reference: str = "") -> Response:
    """The page of one error."""
    title, words = WORDS.get(status, OTHER)
    body = render_template("fault.html", title=title, words=words, reference=reference)
    return make_response(body, status)
