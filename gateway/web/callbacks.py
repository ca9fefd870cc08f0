"""The carriers' callbacks: texts, receipts and steps of USSD dialogues. A 200 follows a commit."""

import logging

from flask import Blueprint, Response, abort, request

from gateway.advisory.errors import StoreDown, UnknownCarrier, Unproven, Unreadable
from gateway.advisory.ports import Listener
from gateway.advisory.records import Callback, Screen
from gateway.web.desk import the_desk
from gateway.web.faults import plain

MOST_BYTES = 64 * 1024
RETRY_SECONDS = "10"
log = logging.getLogger(__name__)
PREFIX = "/carrier"
routes = Blueprint("callbacks", __name__, url_prefix=PREFIX)


@routes.before_request
def limit_size() -> None:
    """Refuse before reading what is larger than any text, receipt or step can be."""
    request.max_content_length = MOST_BYTES
    # Flask answers HEAD wherever it answers GET, and a text must not come in by a HEAD.
    if request.method == "HEAD":
        abort(405)
    request.get_data(cache=True, parse_form_data=False)


@routes.route("/<name>/text", methods=["GET", "POST"])
def text(name: str) -> Response:
    """An inbound text: stored, understood and answered in one commit before the 200."""
    listener = _listener(name)
    the_desk().receive(listener.text(_callback()))
    return _reply(listener)


@routes.route("/<name>/receipt", methods=["GET", "POST"])
def receipt(name: str) -> Response:
    """A delivery receipt: it settles the text that it belongs to, or waits for it."""
    listener = _listener(name)
    the_desk().settle(listener.receipt(_callback()))
    return _reply(listener)


@routes.route("/<name>/ussd", methods=["GET", "POST"])
def ussd(name: str) -> Response:
    """One step of a USSD dialogue: the next screen goes back in the carrier's own form."""
    listener = _listener(name)
    return _reply(listener, the_desk().dial(listener.dial(_callback())))


@routes.errorhandler(UnknownCarrier)
def unknown(error: UnknownCarrier) -> Response:
    """No such carrier here."""
    return plain(404, "no such carrier")


@routes.errorhandler(Unproven)
def unproven(error: Unproven) -> Response:
    """The caller learns nothing but that; the log gets the cause."""
    log.warning("%s", error)
    return plain(401, "caller not proven")


@routes.errorhandler(Unreadable)
def unreadable(error: Unreadable) -> Response:
    """Keep the bytes, so that no grower's text is lost to a change of the carrier's form."""
    desk = the_desk()
    raw = request.get_data() or request.query_string
    try:
        with desk.store.begin() as unit:
            unit.texts.keep_unreadable(error.carrier, raw, error.cause, desk.clock.now())
            unit.commit()
    except StoreDown as down:
        return store_down(down)
    log.warning("%s", error)
    return plain(422, f"not readable: {error.cause}")


@routes.errorhandler(StoreDown)
def store_down(error: StoreDown) -> Response:
    """Nothing happened; the carrier is to come again."""
    log.error("store down at a callback of a carrier")
    answer = plain(503, "store down, come again")
    answer.headers["Retry-After"] = RETRY_SECONDS
    return answer


def _listener(name: str) -> Listener:
    listener = the_desk().listeners.get(name)
    if listener is None:
        raise UnknownCarrier(name)
    return listener


def _callback() -> Callback:
    return Callback(
        method=request.method,
        headers={name.lower(): value for name, value in request.headers.items()},
        query=request.args.to_dict(),
        body=request.get_data(),
        at=the_desk().clock.now(),
    )


def _reply(listener: Listener, screen: Screen | None = None) -> Response:
    content_type, body = listener.reply(screen)
    return Response(body, content_type=content_type)
