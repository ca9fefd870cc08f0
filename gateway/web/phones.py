"""The simulated phones: pick or take one, read what it got, text and dial as its owner would."""

import secrets
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, abort, jsonify, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from gateway.advisory.errors import NotANumber
from gateway.advisory.number import Number, read_number
from gateway.advisory.records import Dial, Screen
from gateway.advisory.views import Handset
from gateway.web.bubbles import Bubble, bubbles_of
from gateway.web.desk import Phones, the_desk
from gateway.web.guard import needs, visitor
from gateway.web.shown import moment_shown, text_shown

NEWEST = 40
LONGEST_TEXT = 12_000
LONGEST_ENTRY = 182  # characters of one USSD step in the default alphabet (3GPP TS 23.038, 5)
routes = Blueprint("phones", __name__, url_prefix="/phones")


@routes.get("")
@needs("supervisor")
def show() -> str:
    """All phones of the scheme."""
    return _list(request.args.get("find", "").strip()[:100])


def _list(wanted: str = "", number: str = "", wrong: str = "") -> str:
    handsets = [one for one in _handsets() if _fits(one, wanted)]
    return render_template(
        "phones.html", handsets=handsets, find=wanted, number=number, wrong=wrong
    )


@routes.post("/new")
@needs("supervisor")
def take() -> Response | tuple[str, int]:
    """Take a phone of an invented number, as of somebody who is not enrolled and may join."""
    said, desk = request.form.get("number", "").strip()[:40], the_desk()
    try:
        number = read_number(said, desk.scheme().region)
    except NotANumber as mistake:
        return _list(number=said, wrong=str(mistake)), 422
    with desk.store.begin() as unit:
        taken = unit.people.phone_of(visitor().scheme_id, number, desk.clock.now())
        unit.commit()
    return redirect(url_for("phones.phone", phone_id=taken.id) + "#body")


@routes.get("/<int:phone_id>")
@needs("supervisor")
def phone(phone_id: int) -> str:
    """One phone: its thread, a place to write, its keypad."""
    return render_template(
        "phone.html",
        handset=_handset(phone_id),
        bubbles=_bubbles(phone_id),
        screen=_screen_of(phone_id),
        dial_code=the_desk().dial_code,
    )


@routes.get("/<int:phone_id>/thread")
@needs("supervisor")
def thread(phone_id: int) -> Any:
    """The thread as JSON, for the page that looks again by itself."""
    _handset(phone_id)
    zone = the_desk().scheme().zone
    return jsonify([_as_json(bubble, zone) for bubble in _bubbles(phone_id)])


@routes.post("/<int:phone_id>/text")
@needs("supervisor")
def write(phone_id: int) -> Response:
    """Let the phone text us. The text travels as from any phone."""
    _handset(phone_id)
    body = request.form.get("body", "")[:LONGEST_TEXT].replace("\r\n", "\n")
    _phones().text(_number(phone_id), body)
    return redirect(url_for("phones.phone", phone_id=phone_id) + "#newest")


@routes.post("/<int:phone_id>/dial")
@needs("supervisor")
def dial(phone_id: int) -> Response:
    """Dial a code, answer a screen, or hang up."""
    _handset(phone_id)
    entry = request.form.get("entry", "").strip()[:LONGEST_ENTRY]
    under_way = session.get("dialogue")
    if request.form.get("hang-up"):
        _hang_up(phone_id)
    elif under_way and under_way["phone"] == phone_id and not under_way["end"]:
        _step(phone_id, under_way["session"], entry)
    elif entry == the_desk().dial_code:
        _step(phone_id, secrets.token_hex(8), None)
    else:
        words = f"This code leads nowhere. Dial {the_desk().dial_code}"
        _remember(phone_id, "", Screen(words, end=True))
    # A browser puts the cursor into the field that it opens a page at.
    return redirect(url_for("phones.phone", phone_id=phone_id) + "#entry")


@dataclass(frozen=True, slots=True)
class OpenScreen:
    """What a phone's dialogue shows now."""

    text: str
    end: bool


def _step(phone_id: int, dialogue: str, entry: str | None) -> None:
    desk = the_desk()
    step = Dial(_phones().name, dialogue, _number(phone_id), entry, desk.clock.now())
    _remember(phone_id, dialogue, desk.dial(step))


def _hang_up(phone_id: int) -> None:
    under_way = session.pop("dialogue", None)
    if under_way and under_way["phone"] == phone_id and not under_way["end"]:
        desk = the_desk()
        number, now = _number(phone_id), desk.clock.now()
        desk.dial(Dial(_phones().name, under_way["session"], number, None, now, gone=True))


def _remember(phone_id: int, dialogue: str, screen: Screen) -> None:
    session["dialogue"] = {
        "phone": phone_id,
        "session": dialogue,
        "text": screen.text,
        "end": screen.end,
    }


def _screen_of(phone_id: int) -> OpenScreen | None:
    found = session.get("dialogue")
    if not found or found["phone"] != phone_id:
        return None
    return OpenScreen(found["text"], found["end"])


def _phones() -> Phones:
    phones = the_desk().phones
    assert phones is not None  # the routes are registered only where there are phones
    return phones


def _handsets() -> list[Handset]:
    return the_desk().views.handsets(visitor().scheme_id)


def _handset(phone_id: int) -> Handset:
    """The phone, if it is one of this scheme (else 404)."""
    found = next((one for one in _handsets() if one.phone_id == phone_id), None)
    return found if found is not None else abort(404)


def _fits(handset: Handset, wanted: str) -> bool:
    said = " ".join((handset.grower, *handset.plots)).casefold()
    return wanted.casefold() in said


def _bubbles(phone_id: int) -> list[Bubble]:
    return bubbles_of(the_desk().views.thread(visitor().scheme_id, phone_id, NEWEST))


def _number(phone_id: int) -> Number:
    with the_desk().store.begin(write=False) as unit:
        return unit.people.phone(phone_id).number


def _as_json(bubble: Bubble, zone: str) -> dict[str, object]:
    return {
        "key": bubble.key,
        "mine": bubble.mine,
        "text": text_shown(bubble.text),
        "at": moment_shown(bubble.at, zone),
        "note": bubble.note,
    }
