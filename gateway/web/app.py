"""The Flask application: routes to ports, pages for the office."""

from datetime import date, datetime, timedelta

from flask import Flask

from gateway import __version__
from gateway.web import (
    account,
    blocks,
    broadcasts,
    calendar,
    callbacks,
    cards,
    faults,
    guard,
    headers,
    health,
    log,
    mend,
    people,
    phones,
    plots,
    readers,
    setup,
    shown,
    signin,
    today,
    unclear,
    words,
)
from gateway.web.desk import Desk, Phones, the_desk
from gateway.web.patience import Patience

__all__ = ["Desk", "Phones", "create_app"]

LARGEST_FORM = 64 * 1024
SESSION_HOURS = 12


def create_app(desk: Desk) -> Flask:
    """An application that serves this desk. Any number of them may live in one process."""
    app = Flask("gateway.web")
    app.extensions["desk"] = desk
    app.extensions["patience"] = Patience()
    app.session_interface = headers.OfficeCookie()
    app.config.update(
        SECRET_KEY=desk.secret_key,
        SESSION_COOKIE_NAME="office",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=timedelta(hours=SESSION_HOURS),
        MAX_CONTENT_LENGTH=LARGEST_FORM,
        MAX_FORM_MEMORY_SIZE=LARGEST_FORM,
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    _teach_words(app)
    app.before_request(guard.check_visitor)
    app.after_request(headers.close_doors)
    faults.register(app)
    rooms = (callbacks, signin, account, health, log, today, unclear, plots, blocks, cards, readers)
    for room in (*rooms, calendar, broadcasts, setup):
        app.register_blueprint(room.routes)
    app.register_blueprint(people.routes)
    app.register_blueprint(mend.routes)
    if desk.phones is not None:
        app.register_blueprint(phones.routes)
    return app


def _teach_words(app: Flask) -> None:
    """Give the templates the words, shapes and ways of showing."""
    app.jinja_env.filters.update(
        shown=shown.text_shown,
        moment=_moment,
        moment_after=_moment_after,
        day=_day,
        state_word=words.state_word,
        by_operator=words.by_operator,
        state_shape=words.state_shape,
        outcome_word=words.outcome_word,
        outcome_shape=words.outcome_shape,
        stage_word=words.stage_word,
        action_word=words.action_word,
        kind_word=words.kind_word,
        event_word=words.event_word,
        source_word=words.source_word,
        level_words=words.level_words,
        reckoned_words=words.reckoned_words,
        band_words=words.band_words,
        short_day=shown.short_day,
        details=words.event_details,
    )
    app.context_processor(_of_every_page)


def _of_every_page() -> dict[str, object]:
    desk = the_desk()
    return {
        "form_token": guard.form_token,
        "may": guard.may,
        "scheme": desk.scheme,
        "has_phones": desk.phones is not None,
        "version": __version__,
    }


def _moment(moment: datetime | None) -> str:
    return shown.moment_shown(moment, the_desk().scheme().zone)


def _moment_after(moment: datetime, first: datetime) -> str:
    return shown.moment_after(moment, first, the_desk().scheme().zone)


def _day(day: date | str | None) -> str:
    return shown.day_shown(day)
