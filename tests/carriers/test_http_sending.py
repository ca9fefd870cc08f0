"""Handing texts over to a real HTTP server on loopback: every class of answer and of trouble."""

import base64
import json
import logging
import socket
import ssl
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from ipaddress import ip_address
from pathlib import Path
from typing import get_args
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gateway.advisory.carrier_profile import CarrierProfile, Outcome, SecretNotUsable
from gateway.advisory.parcels import Parcel
from gateway.carriers.answered import handing_of
from gateway.carriers.http import HttpCarrier
from gateway.carriers.wire import Answer, Wire
from gateway.flowfiles.carriers import load_carriers
from tests.carriers.conftest import FLOWS
from tests.peers.certificate import make_certificate
from tests.peers.operator_http import Behaviour, Operator, answering

SECRETS = {
    "GATEWAY_EXAMPLE_HTTP_SECRET": "signing-word",
    "GATEWAY_EXAMPLE_HTTP_TOKEN": "bearer-word",
    "GATEWAY_USER": "office",
    "GATEWAY_PASSWORD": "pass:word",
}
ADDRESS = "https://link.example/v1/texts"
JSON_BODY = 'json: {to: "{to}", from: "{from}", text: "{text}", our_id: "{id}"}'
TOKEN = (
    'login: {kind: token, header: Authorization, prefix: "Bearer ", '
    "secret: GATEWAY_EXAMPLE_HTTP_TOKEN}"
)
Edited = Callable[..., CarrierProfile]
MakeParcel = Callable[..., Parcel]


@pytest.fixture
def operator() -> Iterator[Operator]:
    with Operator() as operator:
        yield operator


@pytest.fixture
def link(operator: Operator, edited: Edited, wire: Wire) -> HttpCarrier:
    profile = edited("example-http", (ADDRESS, operator.url), ("answer_s: 15", "answer_s: 0.4"))
    return HttpCarrier(profile, SECRETS, wire)


# -- the request ----------------------------------------------------------------------------------


def test_a_text_leaves_as_the_profile_says(
    link: HttpCarrier, operator: Operator, parcel: MakeParcel
) -> None:
    operator.behaviour = answering(202, {"message": {"id": "op-77", "state": "queued"}})
    handing = link.send(parcel("H07: wait.\nLook again 18 Feb. {to} জমি"))
    seen = operator.seen[0]
    assert (handing.outcome, handing.reference) == ("handed-over", "op-77")
    assert (seen.method, seen.path) == ("POST", "/v1/texts")
    assert seen.headers["Authorization"] == "Bearer bearer-word"
    assert seen.headers["X-Link-Request"] == "41"
    assert seen.headers["Content-Type"] == "application/json"
    assert json.loads(seen.body) == {
        "to": "+12025550143",
        "from": "60606",
        "text": "H07: wait.\nLook again 18 Feb. {to} জমি",
        "our_id": "41",
    }


def test_a_form_carries_line_breaks_signs_and_every_script(
    operator: Operator, edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    form = JSON_BODY.replace("json:", "form:")
    profile = edited(
        "example-http",
        (ADDRESS, operator.url),
        (JSON_BODY, form),
        ("number_form: plus", "number_form: digits"),
        (TOKEN, "login: {kind: basic, user: GATEWAY_USER, password: GATEWAY_PASSWORD}"),
    )
    HttpCarrier(profile, SECRETS, wire).send(parcel("a&b=c +5 %41\nধান"))
    seen = operator.seen[0]
    assert seen.headers["Content-Type"] == "application/x-www-form-urlencoded"
    # RFC 7617: base64 of user-id ":" password; the password may hold colons.
    assert base64.b64decode(seen.headers["Authorization"].split()[1]) == b"office:pass:word"
    assert parse_qs(seen.body.decode(), strict_parsing=True) == {
        "to": ["12025550143"],
        "from": ["60606"],
        "text": ["a&b=c +5 %41\nধান"],
        "our_id": ["41"],
    }


def test_a_query_joins_what_the_address_holds_already(
    operator: Operator, edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    profile = edited(
        "example-http",
        (ADDRESS, operator.url + "?line=2"),
        ("method: POST", "method: GET"),
        (JSON_BODY, 'query: {to: "{to}", text: "{text}"}'),
        (TOKEN, "login: {kind: token, query: key, secret: GATEWAY_EXAMPLE_HTTP_TOKEN}"),
    )
    HttpCarrier(profile, SECRETS, wire).send(parcel("a & b"))
    seen = operator.seen[0]
    assert (seen.method, seen.body) == ("GET", b"")
    assert parse_qs(urlsplit(seen.path).query) == {
        "line": ["2"],
        "to": ["+12025550143"],
        "text": ["a & b"],
        "key": ["bearer-word"],
    }


def test_json_keeps_numbers_flags_and_lists_of_the_profile(
    operator: Operator, edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    tree = 'json: {to: ["{to}"], body: {text: "{text}"}, parts: 1, flash: no, at: ~, code: "07"}'
    profile = edited("example-http", (ADDRESS, operator.url), (JSON_BODY, tree))
    HttpCarrier(profile, SECRETS, wire).send(parcel("x"))
    assert json.loads(operator.seen[0].body) == {
        "to": ["+12025550143"],
        "body": {"text": "x"},
        "parts": 1,
        "flash": False,
        "at": None,
        "code": "07",
    }


# -- answers --------------------------------------------------------------------------------------

QUEUED = {"message": {"id": "op-1", "state": "Queued "}}
LATER = "Sat, 14 Feb 2026 12:02:00 GMT"
ANSWERS = {
    "taken": (answering(202, QUEUED), "handed-over", None),
    "taken, reference a number of 20 digits": (
        answering(200, {"message": {"id": 12345678901234567890, "state": "sent"}}),
        "handed-over",
        None,
    ),
    "taken, no reference": (answering(200, {"message": {"state": "sent"}}), "handed-over", None),
    "refused by its word": (answering(200, {"message": {"state": "rejected"}}), "refused", None),
    "refused by its status": (answering(404, {}), "refused", None),
    "an unknown word": (answering(200, {"message": {"state": "hm"}}), "in-doubt", None),
    "a success that is no JSON": (Behaviour(200, b"<p>fine</p>"), "in-doubt", None),
    "a success that is no UTF-8": (Behaviour(200, b"\xff\xfe"), "in-doubt", None),
    "a success without a body": (Behaviour(204), "in-doubt", None),
    "our token refused": (answering(401, {}), "link-down", 60.0),
    "asked to slow down": (answering(429, {}), "try-again", 30.0),
    "slow down for 7 s": (answering(429, {}, Retry_After="7"), "try-again", 7.0),
    "slow down for a day, cut to 15 min": (
        answering(429, {}, Retry_After="86400"),
        "try-again",
        900.0,
    ),
    "slow down until a moment past": (
        answering(429, {}, Retry_After="Sat, 14 Feb 2026 11:59:00 GMT"),
        "try-again",
        0.0,
    ),
    "slow down by nonsense": (answering(429, {}, Retry_After="soon"), "try-again", 30.0),
    "certainly not taken now": (answering(503, {}), "try-again", 60.0),
    "a fault of theirs": (answering(500, {}), "in-doubt", None),
    "a gateway of theirs timed out": (answering(504, {}), "in-doubt", None),
    "a redirect": (answering(302, {}, Location="/v1/elsewhere"), "in-doubt", None),
}


@pytest.mark.parametrize(("behaviour", "outcome", "wait_s"), ANSWERS.values(), ids=ANSWERS.keys())
def test_each_answer_means_what_the_table_says(
    link: HttpCarrier,
    operator: Operator,
    parcel: MakeParcel,
    behaviour: Behaviour,
    outcome: str,
    wait_s: float | None,
) -> None:
    operator.behaviour = behaviour
    handing = link.send(parcel())
    assert (handing.outcome, handing.wait_s) == (outcome, wait_s)
    assert handing.words.startswith(str(behaviour.status))
    assert len(operator.seen) == 1, "one text is one request"


def test_a_long_numeric_reference_is_kept_digit_by_digit(
    link: HttpCarrier, operator: Operator, parcel: MakeParcel
) -> None:
    operator.behaviour = Behaviour(200, b'{"message":{"id":12345678901234567890,"state":"sent"}}')
    assert link.send(parcel()).reference == "12345678901234567890"


def test_the_numbers_in_an_answer_are_masked_in_its_words(
    operator: Operator, edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    profile = edited("example-http", (ADDRESS, operator.url))
    operator.behaviour = answering(400, {"message": {"state": "no route to +12025550143"}})
    words = HttpCarrier(profile, SECRETS, wire).send(parcel()).words
    assert words.startswith("400 no route to")
    assert "2025550143" not in words


@given(
    status=st.integers(0, 999),
    headers=st.dictionaries(st.sampled_from(["Retry-After", "Date", "retry-after"]), st.text()),
    body=st.binary(),
)
@example(429, {"Retry-After": "Sat, 14 Feb 99999 12:00:00 GMT"}, b"")
@example(429, {"Retry-After": "9" * 400}, b"")
@example(429, {"Retry-After": LATER, "Date": "Sat, 14 Feb 2026 12:00:00 -9999"}, b"")
def test_no_answer_raises(status: int, headers: dict[str, str], body: bytes) -> None:
    sending = load_carriers(FLOWS)["example-http"].sending
    assert sending is not None
    handing = handing_of(sending.answers, sending.link_wait_s, Answer(status, headers, body))
    assert handing.outcome in get_args(Outcome)
    assert handing.wait_s is None or 0 <= handing.wait_s <= sending.answers.wait_at_most_s


def test_a_moment_to_wait_for_is_reckoned_by_the_operators_own_clock() -> None:
    sending = load_carriers(FLOWS)["example-http"].sending
    assert sending is not None
    headers = {"Retry-After": LATER, "Date": "Sat, 14 Feb 2026 12:00:00 GMT"}
    handing = handing_of(sending.answers, sending.link_wait_s, Answer(429, headers, b""))
    assert handing.wait_s == 120


# -- trouble after the request began to leave: in doubt, once -------------------------------------

TROUBLES = [
    "hang",
    "close",
    "close_mid_answer",
    "close_mid_head",
    "chunks_cut",
    "drip",
    "drip_head",
    "drip_without_length",
    "garbage",
]


@pytest.mark.parametrize("manner", TROUBLES)
def test_trouble_after_sending_leaves_the_text_in_doubt(
    link: HttpCarrier, operator: Operator, parcel: MakeParcel, manner: str
) -> None:
    body = json.dumps(QUEUED).encode()
    operator.behaviour = Behaviour(202, body, manner=manner)
    started = time.monotonic()
    handing = link.send(parcel())
    assert handing.outcome == "in-doubt"
    assert time.monotonic() - started < 3, "an exchange ends within its time"
    assert len(operator.seen) == 1, "and is never repeated"
    operator.released.set()
    operator.behaviour = Behaviour(202, body)
    assert link.send(parcel()).outcome == "handed-over", "the link works on afterwards"


def test_an_answer_beyond_its_size_is_in_doubt(
    link: HttpCarrier, operator: Operator, parcel: MakeParcel
) -> None:
    operator.behaviour = Behaviour(200, b" " * 65537)
    handing = link.send(parcel())
    assert (handing.outcome, handing.words) == ("in-doubt", "answer is larger than 65536 bytes")
    operator.behaviour = Behaviour(200, b" " * 65536)
    assert link.send(parcel()).words == "200"


# -- trouble before: certain ----------------------------------------------------------------------


def _closed_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_a_refused_connection_is_a_link_that_is_down(
    edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    profile = edited("example-http", (ADDRESS, f"http://127.0.0.1:{_closed_port()}/"))
    handing = HttpCarrier(profile, SECRETS, wire).send(parcel())
    assert (handing.outcome, handing.wait_s, handing.words) == ("link-down", 60.0, "no connection")


def test_a_host_without_an_address_is_a_link_that_is_down(
    edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    # RFC 6761, 6.4: names under .invalid never resolve.
    profile = edited("example-http", (ADDRESS, "https://link.invalid/"))
    handing = HttpCarrier(profile, SECRETS, wire).send(parcel())
    assert (handing.outcome, handing.words) == ("link-down", "host name not found")


def test_a_server_that_never_accepts_is_a_link_that_is_down(
    edited: Edited, wire: Wire, parcel: MakeParcel
) -> None:
    with socket.socket() as deaf:
        deaf.bind(("127.0.0.1", 0))
        deaf.listen(0)
        port = deaf.getsockname()[1]
        fillers = [socket.socket() for _ in range(4)]
        for filler in fillers:
            filler.setblocking(False)
            filler.connect_ex(("127.0.0.1", port))
        profile = edited(
            "example-http",
            (ADDRESS, f"http://127.0.0.1:{port}/"),
            ("connect_s: 5", "connect_s: 0.3"),
        )
        handing = HttpCarrier(profile, SECRETS, wire).send(parcel())
        for filler in fillers:
            filler.close()
    assert (handing.outcome, handing.words) == ("link-down", "no connection within 0.3 s")


@pytest.fixture
def certificate(tmp_path: Path) -> Path:
    """A certificate for 127.0.0.1 that only its own maker trusts, with its key."""
    return make_certificate(tmp_path / "loopback.pem", ip_address("127.0.0.1"))


@pytest.mark.parametrize("trusted", [False, True], ids=["unknown authority", "known authority"])
def test_a_certificate_is_always_checked_before_anything_leaves(
    edited: Edited,
    parcel: MakeParcel,
    certificate: Path,
    monkeypatch: pytest.MonkeyPatch,
    trusted: bool,
) -> None:
    if trusted:
        monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)
    wire = Wire()
    with Operator(context) as operator:
        operator.behaviour = answering(202, QUEUED)
        profile = edited("example-http", (ADDRESS, operator.url))
        handing = HttpCarrier(profile, SECRETS, wire).send(parcel())
        wire.close()
    assert handing.outcome == ("handed-over" if trusted else "link-down")
    assert len(operator.seen) == (1 if trusted else 0)
    assert trusted or handing.words == "TLS failed"


def test_an_exchange_over_tls_ends_in_time_too(
    edited: Edited, parcel: MakeParcel, certificate: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)
    wire = Wire()
    with Operator(context) as operator:
        operator.behaviour = Behaviour(manner="drip")
        profile = edited("example-http", (ADDRESS, operator.url), ("answer_s: 15", "answer_s: 0.4"))
        started = time.monotonic()
        handing = HttpCarrier(profile, SECRETS, wire).send(parcel())
        wire.close()
    assert (handing.outcome, handing.words) == ("in-doubt", "no whole answer within 0.4 s")
    assert time.monotonic() - started < 3


# -- connections, secrets, privacy ----------------------------------------------------------------


def test_a_connection_is_kept_and_a_closed_one_is_replaced(
    link: HttpCarrier, operator: Operator, parcel: MakeParcel
) -> None:
    operator.behaviour = answering(202, QUEUED)
    assert [link.send(parcel()).outcome for _ in range(3)] == ["handed-over"] * 3
    assert operator.connections == 1
    operator.behaviour = Behaviour(202, json.dumps(QUEUED).encode(), manner="answer_then_close")
    link.send(parcel())
    time.sleep(0.1)
    assert link.send(parcel()).outcome == "handed-over"
    assert operator.connections == 2


def test_threads_share_a_carrier(link: HttpCarrier, operator: Operator, parcel: MakeParcel) -> None:
    operator.behaviour = answering(202, QUEUED)
    with ThreadPoolExecutor(8) as threads:
        outcomes = list(threads.map(lambda n: link.send(parcel(id=n)).outcome, range(200)))
    assert outcomes == ["handed-over"] * 200
    sent = sorted(int(json.loads(seen.body)["our_id"]) for seen in operator.seen)
    assert sent == list(range(200))


def test_a_missing_secret_is_named_at_the_start(edited: Edited, wire: Wire) -> None:
    with pytest.raises(SecretNotUsable) as caught:
        HttpCarrier(edited("example-http"), {"GATEWAY_EXAMPLE_HTTP_TOKEN": ""}, wire)
    assert caught.value.variables == ("GATEWAY_EXAMPLE_HTTP_SECRET", "GATEWAY_EXAMPLE_HTTP_TOKEN")


def test_a_secret_with_a_line_break_is_named_but_never_shown(edited: Edited, wire: Wire) -> None:
    secrets = {**SECRETS, "GATEWAY_EXAMPLE_HTTP_TOKEN": "hidden\r\nX-Evil: 1"}
    with pytest.raises(SecretNotUsable, match="GATEWAY_EXAMPLE_HTTP_TOKEN") as caught:
        HttpCarrier(edited("example-http"), secrets, wire)
    assert "hidden" not in str(caught.value)


def test_no_log_holds_the_number_or_the_token(
    operator: Operator,
    edited: Edited,
    wire: Wire,
    parcel: MakeParcel,
    caplog: pytest.LogCaptureFixture,
) -> None:
    caplog.set_level(logging.DEBUG)
    profile = edited(
        "example-http",
        (ADDRESS, operator.url),
        ("method: POST", "method: GET"),
        (JSON_BODY, 'query: {to: "{to}", text: "{text}"}'),
        (TOKEN, "login: {kind: token, query: key, secret: GATEWAY_EXAMPLE_HTTP_TOKEN}"),
    )
    carrier = HttpCarrier(profile, SECRETS, wire)
    for manner in ("answer", "close", "odd_headers"):
        operator.behaviour = Behaviour(manner=manner)
        handing = carrier.send(parcel())
        assert "2025550143" not in repr(handing) + caplog.text
        assert "bearer-word" not in repr(handing) + repr(carrier) + caplog.text
