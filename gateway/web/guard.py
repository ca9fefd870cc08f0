"""Who is signed in, what they may do, and proof that a form came from a page of ours."""

import hmac
import secrets
from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from flask import abort, g, redirect, request, session, url_for
from werkzeug.wrappers import Response

from gateway.advisory.records import OfficeUser
from gateway.web.desk import the_desk

OPEN_ENDPOINTS = frozenset({"static", "health.show", "signin.ask", "signin.enter"})
ROLES = ("officer", "supervisor", "administrator")


def check_visitor() -> Response | None:
    """Before each request: everything that is not open needs somebody signed in."""
    if request.endpoint is None or request.blueprint == "callbacks":
        return None
    # No name or word of ours holds a NUL, and not every database takes one even in a question.
    if "\x00" in request.path or "\x00" in "".join(request.args.values()):
        abort(404)
    if request.method == "POST":
        check_form()
    if request.endpoint in OPEN_ENDPOINTS:
        return None
    g.user = _user_of_session()
    if g.user is None:
        wanted = request.full_path.rstrip("?") if request.method == "GET" else None
        return redirect(url_for("signin.ask", next=wanted))
    return None


def check_form() -> None:
    """A form without the session's own token is refused (403)."""
    expected = session.get("form", "")
    given = request.form.get("form", "")
    if not expected or not hmac.compare_digest(expected.encode(), given.encode()):
        abort(403)


def form_token() -> str:
    """The token that this session's forms carry."""
    if "form" not in session:
        session["form"] = secrets.token_urlsafe(32)
    return str(session["form"])


def visitor() -> OfficeUser:
    """Who is signed in, on a page that needs it."""
    return cast(OfficeUser, g.user)


def may(role: str) -> bool:
    """Whether who is signed in has that role or a higher one."""
    user = g.get("user")
    return user is not None and ROLES.index(user.role) >= ROLES.index(role)


def needs(role: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Only for that role and higher ones; others get 403."""

    def guarded(view: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(view)
        def checked(*args: Any, **kwargs: Any) -> Any:
            if not may(role):
                abort(403)
            return view(*args, **kwargs)

        return checked

    return guarded


def _user_of_session() -> OfficeUser | None:
    user_id = session.get("user")
    if user_id is None:
        return None
    desk = the_desk()
    with desk.store.begin(write=False) as unit:
        user = unit.office.user(int(user_id))
    if user is None or not user.active or user.scheme_id != desk.scheme().id:
        session.clear()
        return None
    return user
