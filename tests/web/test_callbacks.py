"""The carriers' callbacks over HTTP: what is answered, and what stands in the store by then."""

import hashlib
import hmac
import json
from pathlib import Path

import pytest

from gateway.advisory.views import LogFilter
from tests.houses import READER, TestHouse
from tests.web.conftest import SECRETS, Visitor

TOKEN = {"X-Carrier-Token": SECRETS["GATEWAY_SIMULATOR_TOKEN"]}


def a_text(body="H07 -12", reference="any-1", sender=None):
    return {"from": sender or READER.reveal(), "text": body, "id": reference}


def logged(place: TestHouse):
    wanted = LogFilter(direction="in")
    return place.house.store.views.reply_log(place.scheme_id, wanted, 1, 50).lines


def signed(place: TestHouse, body: bytes, secret: str = SECRETS["GATEWAY_EXAMPLE_HTTP_SECRET"]):
    stamp = str(int(place.clock.now().timestamp()))
    mac = hmac.new(secret.encode(), stamp.encode() + b"." + body, hashlib.sha256)
    return {"X-Link-Signature": mac.hexdigest(), "X-Link-Time": stamp}


def test_a_text_stands_in_the_store_with_its_reply_before_the_200(place, visitor):
    answer = visitor.client.post("/carrier/simulator/text", json=a_text(), headers=TOKEN)
    assert (answer.status_code, answer.json) == (200, {"taken": True})
    (line,) = logged(place)
    assert (line.body, line.outcome, line.plots) == ("H07 -12", "accept", ("H07",))
    assert "BELOW" in line.sent[0].text


def test_a_signed_callback_of_the_http_carrier_is_taken(place, visitor):
    body = json.dumps(
        {"from": READER.reveal(), "message": {"text": "H07 -12", "id": "m1"}}
    ).encode()
    answer = visitor.client.post(
        "/carrier/example-http/text", data=body, headers=signed(place, body)
    )
    assert answer.status_code == 200
    assert logged(place)[0].carrier == "example-http"


def test_a_repeated_callback_is_answered_alike_and_changes_nothing(place, visitor):
    first, second = (
        visitor.client.post("/carrier/simulator/text", json=a_text(), headers=TOKEN)
        for _ in range(2)
    )
    assert (first.status_code, first.data) == (second.status_code, second.data)
    assert len(logged(place)) == 1
    assert len(logged(place)[0].sent) == 1


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param({}, id="no token"),
        pytest.param({"X-Carrier-Token": "wrong"}, id="wrong token"),
        pytest.param({"Cookie": "office=forged"}, id="a cookie is no proof"),
    ],
)
@pytest.mark.parametrize("what", ["text", "receipt", "ussd"])
def test_an_unproven_caller_gets_401_and_leaves_no_trace(place, visitor, headers, what):
    answer = visitor.client.post(f"/carrier/simulator/{what}", json=a_text(), headers=headers)
    assert answer.status_code == 401
    assert not logged(place)
    assert not place.house.store.views.unreadable(10)


def test_a_forged_signature_gets_401(place, visitor):
    body = json.dumps({"from": READER.reveal(), "message": {"text": "H07 -12"}}).encode()
    forged = signed(place, body, secret="guessed")
    answer = visitor.client.post("/carrier/example-http/text", data=body, headers=forged)
    assert answer.status_code == 401
    assert not logged(place)


@pytest.mark.parametrize(
    ("what", "body"),
    [
        pytest.param("text", b"{", id="no json"),
        pytest.param("text", b"", id="nothing at all"),
        pytest.param("text", b'{"from": "\xff"}', id="no utf-8"),
        pytest.param("text", b'{"text": "H07 -12"}', id="no sender"),
        pytest.param("text", b'{"from": "12", "text": "H07"}', id="no phone number"),
        pytest.param("receipt", b'{"id": "1"}', id="receipt without a word"),
        pytest.param("ussd", b'{"from": "+12025550107"}', id="step without a session"),
    ],
)
def test_unreadable_bytes_are_kept_and_answered_422(place, visitor, what, body):
    answer = visitor.client.post(f"/carrier/simulator/{what}", data=body, headers=TOKEN)
    assert answer.status_code == 422
    (kept,) = place.house.store.views.unreadable(10)
    assert (kept.carrier, kept.size) == ("simulator", len(body))
    assert not logged(place)


def test_a_get_is_kept_as_unreadable_where_the_profile_takes_posts_only(place, visitor):
    answer = visitor.client.get("/carrier/simulator/text?from=x", headers=TOKEN)
    assert answer.status_code == 422
    assert place.house.store.views.unreadable(10)[0].size == len("from=x")


def test_a_head_brings_no_text_in(place, visitor):
    assert visitor.client.head("/carrier/simulator/text", headers=TOKEN).status_code == 405
    assert not place.house.store.views.unreadable(10)


@pytest.mark.parametrize("what", ["text", "receipt", "ussd"])
def test_an_unknown_carrier_gets_404(visitor, what):
    answer = visitor.client.post(f"/carrier/nobody/{what}", json=a_text(), headers=TOKEN)
    assert answer.status_code == 404


def test_what_is_larger_than_64_kib_gets_413_and_is_not_kept(place, visitor):
    answer = visitor.client.post(
        "/carrier/simulator/text", data=b"x" * (64 * 1024 + 1), headers=TOKEN
    )
    assert answer.status_code == 413
    assert not place.house.store.views.unreadable(10)


@pytest.mark.parametrize("what", ["text", "receipt", "ussd"])
def test_a_store_that_is_away_gets_503_and_nothing_is_lost(
    place: TestHouse, visitor: Visitor, tmp_path: Path, what: str
):
    body = a_text() | {"state": "delivered", "session": "s1"}
    address = f"/carrier/simulator/{what}"
    visitor.client.post(address, json=body | {"id": "before"}, headers=TOKEN)
    place.house.store.close()
    (tmp_path / "kept").rename(tmp_path / "away")
    answer = visitor.client.post(address, json=body, headers=TOKEN)
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) > 0
    (tmp_path / "away").rename(tmp_path / "kept")
    assert visitor.client.post(address, json=body, headers=TOKEN).status_code == 200


def test_unreadable_bytes_get_503_while_they_cannot_be_kept(place, visitor, tmp_path):
    place.house.store.close()
    (tmp_path / "kept").rename(tmp_path / "away")
    answer = visitor.client.post("/carrier/simulator/text", data=b"{", headers=TOKEN)
    assert answer.status_code == 503


def test_a_receipt_settles_the_text_that_it_belongs_to(place, visitor):
    visitor.client.post("/carrier/simulator/text", json=a_text(), headers=TOKEN)
    place.house.simulators["simulator"].behave(delivered=0.0, undeliverable=0.0)
    place.settle()
    (line,) = logged(place)
    assert line.sent[0].state == "handed over"
    with place.house.store.begin(write=False) as unit:
        reference = unit.outbox.get(line.sent[0].parcel_id).carrier_reference
    word = {"id": reference, "state": "delivered"}
    answer = visitor.client.post("/carrier/simulator/receipt", json=word, headers=TOKEN)
    assert answer.status_code == 200
    assert logged(place)[0].sent[0].state == "delivered"


def test_a_receipt_that_nothing_belongs_to_waits_and_gets_200(visitor):
    word = {"id": "never-seen", "state": "delivered"}
    answer = visitor.client.post("/carrier/simulator/receipt", json=word, headers=TOKEN)
    assert answer.status_code == 200


def test_a_dialled_step_gives_back_a_screen_in_the_carriers_own_form(visitor):
    step = {"session": "s1", "from": READER.reveal()}
    answer = visitor.client.post("/carrier/simulator/ussd", json=step, headers=TOKEN)
    assert answer.status_code == 200
    assert answer.json["asks"] is True
    assert answer.json["show"]


def test_a_blank_text_is_a_text(place, visitor):
    answer = visitor.client.post("/carrier/simulator/text", json=a_text(""), headers=TOKEN)
    assert answer.status_code == 200
    assert logged(place)[0].body == ""


@pytest.mark.parametrize(
    "body",
    [
        pytest.param("x" * 10_000, id="10,000 characters"),
        pytest.param("\x00\x01\x1b H07 -12", id="control characters"),
        pytest.param("\ud800 H07", id="half a surrogate pair"),
        pytest.param("\u202e21- 70H", id="turning marks"),
        pytest.param("<script>alert(1)</script>", id="a script"),
    ],
)
def test_strange_texts_are_kept_and_answered_200(place, visitor, body):
    answer = visitor.client.post("/carrier/simulator/text", json=a_text(body), headers=TOKEN)
    assert answer.status_code == 200
    assert len(logged(place)) == 1


def test_no_answer_of_a_callback_holds_anything_of_the_number(place, visitor, caplog):
    number, mangled = READER.reveal(), READER.reveal() + "x" * 3
    bodies = [a_text(), a_text(sender=mangled), {"session": number, "from": number}, [number]]
    answers = [
        visitor.client.post(f"/carrier/simulator/{what}", json=body, headers=headers)
        for what in ("text", "receipt", "ussd", number)
        for body in bodies
        for headers in (TOKEN, {})
    ]
    said = "".join(answer.text for answer in answers) + caplog.text
    assert number[1:] not in said
    assert number[-7:] not in said
