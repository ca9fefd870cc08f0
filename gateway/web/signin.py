"""Signing in and out."""

from typing import cast

from flask import Blueprint, current_app, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from gateway.advisory.records import OfficeUser
from gateway.web.desk import the_desk
from gateway.web.guard import form_token, visitor
from gateway.web.patience import Patience

LONGEST_NAME = 200
WRONG = "That name and password do not go together."
WAIT = "Too many tries for that name. Wait a few minutes, then try again."
routes = Blueprint("signin", __name__)


@routes.get("/sign-in")
def ask() -> str:
    """The form."""
    return _form(request.args.get("next", ""))


@routes.post("/sign-in")
def enter() -> Response | tuple[str, int]:
    """Try a name and a password. The answer is the same for an unknown name."""
    name, password = request.form.get("name", ""), request.form.get("password", "")
    wanted = request.form.get("next", "")
    desk, patience = the_desk(), _patience()
    if patience.must_wait(name, desk.clock.now()):
        return _form(wanted, WAIT), 429
    user = _check(name, password)
    if user is None:
        patience.failed(name, desk.clock.now())
        return _form(wanted, WRONG), 403
    patience.entered(name)
    _open_session(user)
    return redirect(wanted if _is_ours(wanted) else url_for("log.show"))


@routes.post("/sign-out")
def leave() -> Response:
    """End the session."""
    _note(visitor(), "signed out")
    session.clear()
    return redirect(url_for("signin.ask"))


def _check(name: str, password: str) -> OfficeUser | None:
    desk = the_desk()
    with desk.store.begin(write=False) as unit:
        user = unit.office.check(name[:LONGEST_NAME].replace("\x00", "\ufffd"), password)
    ours = user is not None and user.active and user.scheme_id == desk.scheme().id
    return user if ours else None


def _open_session(user: OfficeUser) -> None:
    # A fresh session, so that one that was planted before signing in is worth nothing.
    session.clear()
    session.permanent = True
    session["user"] = user.id
    form_token()
    _note(user, "signed in")


def _note(user: OfficeUser, what: str) -> None:
    desk = the_desk()
    with desk.store.begin() as unit:
        unit.office.audit(user.scheme_id, user.name, what, {}, desk.clock.now())
        unit.commit()


def _patience() -> Patience:
    return cast(Patience, current_app.extensions["patience"])


def _is_ours(address: str) -> bool:
    """Only a path of this site: never another host, by ``//`` or by a backslash."""
    return (
        address.startswith("/") and not address.startswith(("//", "/\\")) and address.isprintable()
    )


def _form(wanted: str, words: str = "") -> str:
    return render_template("signin.html", wanted=wanted, words=words)
