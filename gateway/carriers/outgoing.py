"""A text as the request that a profile describes."""

import base64
import json
from collections.abc import Mapping
from typing import Any, Final
from urllib.parse import quote, urlencode

from gateway.advisory.carrier_profile import (
    Basic,
    CarrierProfile,
    Login,
    Sending,
)
from gateway.advisory.parcels import Parcel
from gateway.carriers.wire import Request

CONTENT_TYPES: Final = {
    "json": "application/json",
    "form": "application/x-www-form-urlencoded",
}


def request_for(
    profile: CarrierProfile, sending: Sending, secrets: Mapping[str, str], parcel: Parcel
) -> Request:
    """The request that hands ``parcel`` over."""
    values = _values(profile, sending, parcel)
    headers = {name: _fill(value, values) for name, value in sending.headers}
    body, pairs = _body(sending, values)
    if body is not None:
        headers["Content-Type"] = CONTENT_TYPES[sending.form]
    login_headers, login_pairs = _login(sending.login, secrets)
    return Request(
        method=sending.method,
        url=_with_query(sending.url, {**pairs, **login_pairs}),
        headers={**headers, **login_headers},
        body=body,
        connect_s=sending.connect_s,
        answer_s=sending.answer_s,
        largest_answer_bytes=sending.largest_answer_bytes,
    )


def _values(profile: CarrierProfile, sending: Sending, parcel: Parcel) -> dict[str, str]:
    to = parcel.to.reveal()
    return {
        "to": to if sending.number_form == "plus" else to.removeprefix("+"),
        "text": parcel.text,
        "from": profile.sender,
        "id": str(parcel.id),
    }


def _body(sending: Sending, values: Mapping[str, str]) -> tuple[bytes | None, dict[str, str]]:
    filled = _filled(sending.body, values)
    if sending.form == "json":
        return json.dumps(filled).encode("ascii"), {}
    if sending.form == "form":
        return _encoded(filled).encode("ascii"), {}
    return None, filled


def _filled(tree: Any, values: Mapping[str, str]) -> Any:
    if isinstance(tree, Mapping):
        return {key: _filled(value, values) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_filled(value, values) for value in tree]
    return _fill(tree, values) if isinstance(tree, str) else tree


def _fill(template: str, values: Mapping[str, str]) -> str:
    # In one pass: a grower's text that holds "{to}" stays what it is.
    head, *rest = template.split("{")
    pieces = [head]
    for piece in rest:
        name, closed, tail = piece.partition("}")
        pieces.append(values[name] + tail if closed else "{" + piece)
    return "".join(pieces)


def _encoded(pairs: Mapping[str, str]) -> str:
    return urlencode(pairs, quote_via=quote, errors="replace")


def _with_query(url: str, pairs: Mapping[str, str]) -> str:
    if not pairs:
        return url
    return f"{url}{'&' if '?' in url else '?'}{_encoded(pairs)}"


def _login(
    login: Login | None, secrets: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    if login is None:
        return {}, {}
    if isinstance(login, Basic):
        pair = f"{secrets[login.user]}:{secrets[login.password]}".encode()
        return {"Authorization": "Basic " + base64.b64encode(pair).decode("ascii")}, {}
    if login.place == "query":
        return {}, {login.name: secrets[login.secret]}
    return {login.name: login.prefix + secrets[login.secret]}, {}
