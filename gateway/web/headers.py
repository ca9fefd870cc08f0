"""Headers that keep the pages to themselves: no foreign or inline script, no frame, no referrer."""

from flask import Flask, Request, Response, request
from flask.sessions import SecureCookieSession, SecureCookieSessionInterface

from gateway.web.callbacks import PREFIX

POLICY = "; ".join(
    (
        "default-src 'none'",
        "style-src 'self'",
        "script-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)


class OfficeCookie(SecureCookieSessionInterface):
    """A session cookie that is marked Secure exactly when the page came over https."""

    def open_session(self, app: Flask, request: Request) -> SecureCookieSession | None:
        """The session of who is signed in; a carrier's callback has none, nor time for one."""
        if request.path.startswith(f"{PREFIX}/"):
            return None
        return super().open_session(app, request)

    def get_cookie_secure(self, app: Flask) -> bool:
        """Whether this request came over https."""
        return request.is_secure


def close_doors(answer: Response) -> Response:
    """Put the headers on one answer. Pages with people on them are kept by no cache."""
    answer.headers["Content-Security-Policy"] = POLICY
    answer.headers["X-Content-Type-Options"] = "nosniff"
    answer.headers["X-Frame-Options"] = "DENY"
    answer.headers["Referrer-Policy"] = "no-referrer"
    answer.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    if request.endpoint != "static":
        answer.headers["Cache-Control"] = "no-store"
    return answer
