"""What callbacks bring: texts, receipts and dialogues, in every form and in every bad state."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gateway.advisory.carrier_profile import CarrierProfile, FieldAt, TextFields, Token
from gateway.advisory.errors import Unproven, Unreadable
from gateway.advisory.number import Number
from gateway.advisory.records import Callback, Screen
from gateway.carriers.listen import ProfileListener
from gateway.carriers.proof import sign
from gateway.flowfiles.carriers import load_carriers
from tests.carriers.conftest import FLOWS, NOON

SECRETS = {"GATEWAY_EXAMPLE_HTTP_SECRET": "word", "GATEWAY_SIMULATOR_TOKEN": "word"}
EXAMPLE = load_carriers(FLOWS)["example-http"]
NUMBER = "+12025550143"
TEXT = {"from": NUMBER, "message": {"text": "H07 -12", "id": "m-1", "sent_at": "11:58"}}


def with_text(text: TextFields, **changes: Any) -> CarrierProfile:
    """The example, proven by a token in a header, that reads ``text`` so."""
    proof = Token("header", "X-Token", "GATEWAY_EXAMPLE_HTTP_SECRET")
    listening = replace(EXAMPLE.listening, proof=proof, text=text, **changes)
    return replace(EXAMPLE, listening=listening)


FORM = with_text(
    TextFields(FieldAt("form", ("msisdn",)), FieldAt("form", ("words",)), FieldAt("form", ("ref",)))
)
QUERY = with_text(
    TextFields(FieldAt("query", ("a",)), FieldAt("query", ("b",))), methods=frozenset({"GET"})
)
JSON = ProfileListener(EXAMPLE, SECRETS)


def signed(content: Any, body: bytes | None = None) -> Callback:
    raw = json.dumps(content).encode() if body is None else body
    stamp = str(int(NOON.timestamp()))
    headers = {"X-Link-Time": stamp, "X-Link-Signature": sign("word", stamp, raw).hex()}
    return Callback("POST", headers, {}, raw, NOON)


def posted(body: bytes) -> Callback:
    return Callback("POST", {"X-Token": "word"}, {}, body, NOON)


# -- texts ----------------------------------------------------------------------------------------


def test_a_json_text_is_read_by_its_paths() -> None:
    inbound = JSON.text(signed(TEXT))
    assert inbound.sender == Number(NUMBER)
    assert (inbound.carrier, inbound.body, inbound.reference) == ("example-http", "H07 -12", "m-1")
    assert (inbound.carrier_time, inbound.received_at, inbound.flaws) == ("11:58", NOON, ())


def test_a_form_text_is_read_by_its_fields() -> None:
    body = urlencode({"msisdn": "12025550143", "words": "H07 -12 cm & জমি", "ref": "9"}).encode()
    inbound = ProfileListener(FORM, SECRETS).text(posted(body))
    assert (inbound.sender, inbound.body, inbound.reference) == (
        Number(NUMBER),
        "H07 -12 cm & জমি",
        "9",
    )


def test_a_text_in_the_query_is_read_where_the_profile_takes_get() -> None:
    query = {"a": "0012025550143", "b": "K12 4"}
    listener = ProfileListener(QUERY, SECRETS)
    inbound = listener.text(Callback("GET", {"X-Token": "word"}, query, b"", NOON))
    assert (inbound.sender, inbound.body, inbound.reference) == (Number(NUMBER), "K12 4", None)
    with pytest.raises(Unreadable, match="method is not one of GET"):
        listener.text(Callback("POST", {"X-Token": "word"}, query, b"", NOON))


def test_a_national_number_is_read_by_the_region() -> None:
    profile = with_text(FORM.listening.text or TextFields(*[FieldAt("form", ("x",))] * 2))
    regional = replace(profile, listening=replace(profile.listening, region="US"))
    listener = ProfileListener(regional, SECRETS)
    assert listener.text(posted(b"msisdn=202-555-0143&words=x")).sender == Number(NUMBER)


BODIES = {
    "blank": ("", ()),
    "only blanks": ("  ", ()),
    "control characters": ("H07\x00 -12\x1b", ("control-characters",)),
    "line breaks and tabs": ("H07\r\n\t-12", ()),
    "10,000 characters": ("x" * 10_000, ()),
    "every script": ("জমি ০৭ -১২ 稲 🌾", ()),
    "a lone surrogate": ("H07 \ud83c", ("replaced-bytes",)),
    "already replaced by the operator": ("H07 \ufffd", ("replaced-bytes",)),
}


@pytest.mark.parametrize(("body", "flaws"), BODIES.values(), ids=BODIES.keys())
def test_any_words_are_a_text(body: str, flaws: tuple[str, ...]) -> None:
    inbound = JSON.text(signed({"from": NUMBER, "message": {"text": body}}))
    assert inbound.body == body.replace("\ud83c", "\ufffd")
    assert inbound.flaws == flaws
    assert inbound.body.encode().decode() == inbound.body, "and can be written down as UTF-8"


def test_a_text_without_a_reference_is_known_again_by_its_time() -> None:
    bare = {"from": NUMBER, "message": {"text": "H07 -12", "sent_at": "11:58"}}
    later = {"from": NUMBER, "message": {"text": "H07 -12", "sent_at": "11:59"}}
    keys = [JSON.text(signed(content)).key for content in (bare, bare, later)]
    assert keys[0] == keys[1] != keys[2]


def test_a_signed_text_replayed_in_its_window_is_the_same_text() -> None:
    callback = signed(TEXT)
    later = replace(callback, at=NOON + timedelta(seconds=299))
    assert JSON.text(callback).key == JSON.text(later).key == "ref:m-1"
    with pytest.raises(Unproven):
        JSON.text(replace(callback, at=NOON + timedelta(seconds=301)))


def test_a_long_number_as_reference_is_kept_digit_by_digit() -> None:
    body = b'{"from":"12025550143","message":{"text":"x","id":98765432109876543210}}'
    assert JSON.text(signed(None, body)).reference == "98765432109876543210"


UNREADABLE: dict[str, tuple[bytes, str]] = {
    "nothing": (b"", "body is not JSON"),
    "not JSON": (b"<xml/>", "body is not JSON"),
    "JSON cut short": (b'{"from": "+1202', "body is not JSON"),
    "a number that is none": (b'{"from": NaN}', "body is not JSON"),
    "nested without end": (b"[" * 60_000, "body is not JSON"),
    "not UTF-8": (b'{"from": "\xff"}', "body is not UTF-8 at byte 10"),
    "UTF-16": ('{"from": "1"}'.encode("utf-16"), "body is not UTF-8 at byte 0"),
    "a list": (b"[1]", "json field message.text is missing"),
    "no text": (b'{"from": "+12025550143"}', "json field message.text is missing"),
    "text is null": (b'{"message": {"text": null}}', "json field message.text is missing"),
    "text is a mapping": (b'{"message": {"text": {}}}', "message.text is not a text"),
    "no sender": (b'{"message": {"text": "x"}}', "json field from is missing"),
    "sender is a name": (b'{"from": "BANK", "message": {"text": "x"}}', "json field from is not"),
    "sender is a short code": (b'{"from": "60606", "message": {"text": "x"}}', "from is not"),
    "sender is empty": (b'{"from": "", "message": {"text": "x"}}', "json field from is not"),
    "sender has an extension": (
        b'{"from": "+12025550143 ext 5", "message": {"text": "x"}}',
        "from is not a phone number: an extension",
    ),
    "reference too long": (
        json.dumps({"from": NUMBER, "message": {"text": "x", "id": "9" * 201}}).encode(),
        "json field message.id is longer than 200",
    ),
    "too large": (b" " * 65_537, "body is larger than 65536 bytes"),
}


@pytest.mark.parametrize(("body", "cause"), UNREADABLE.values(), ids=UNREADABLE.keys())
def test_what_cannot_be_read_is_said_by_field_and_never_by_value(body: bytes, cause: str) -> None:
    with pytest.raises(Unreadable) as caught:
        JSON.text(signed(None, body))
    assert cause in caught.value.cause
    assert not any(value in str(caught.value) for value in ("2025550143", "BANK", "999"))


BAD_FORMS: dict[str, tuple[bytes, str]] = {
    "a field twice": (b"words=x&words=y&msisdn=1", "form field words stands 2 times"),
    "escapes that are no UTF-8": (b"words=%ff", "form is not UTF-8"),
    "bytes that are no UTF-8": (b"words=\xff", "body is not UTF-8 at byte 6"),
    "a field missing": (b"msisdn=%2B12025550143", "form field words is missing"),
    "1,000 fields": (b"a=1&" * 1000, "form has more than 200 fields"),
    "JSON where a form is due": (b'{"words": "x"}', "form field words is missing"),
}


@pytest.mark.parametrize(("body", "cause"), BAD_FORMS.values(), ids=BAD_FORMS.keys())
def test_a_form_that_cannot_be_read_says_why(body: bytes, cause: str) -> None:
    with pytest.raises(Unreadable) as caught:
        ProfileListener(FORM, SECRETS).text(posted(body))
    assert cause in caught.value.cause


def test_somebody_unproven_is_refused_before_their_bytes_are_looked_at() -> None:
    for body in (b"", b"\xff", b" " * 100_000, json.dumps(TEXT).encode()):
        with pytest.raises(Unproven):
            JSON.text(Callback("POST", {}, {}, body, NOON))


@pytest.mark.parametrize("method", ["text", "receipt", "dial"])
def test_what_a_profile_does_not_take_is_said(method: str) -> None:
    bare = replace(EXAMPLE.listening, text=None, receipt=None, ussd=None)
    listener = ProfileListener(replace(EXAMPLE, listening=bare), SECRETS)
    with pytest.raises(Unreadable, match="takes no"):
        getattr(listener, method)(signed(TEXT))


# -- receipts -------------------------------------------------------------------------------------

WORDS = {
    "delivered": "delivered",
    " DELIVERED ": "delivered",
    "failed": "undeliverable",
    "rejected": "undeliverable",
    "no-such-phone": "undeliverable",
    "expired": "expired",
    "queued": "underway",
    "sent": "underway",
    "buffered": "underway",
    "teleported": "underway",
    "": "underway",
}


@pytest.mark.parametrize(("word", "state"), WORDS.items(), ids=[w or "empty" for w in WORDS])
def test_each_word_of_a_receipt_means_its_state(word: str, state: str) -> None:
    content = {"message": {"id": " op-7 ", "state": word, "cause": "0E4"}}
    receipt = JSON.receipt(signed(content))
    assert (receipt.carrier, receipt.reference, receipt.state) == ("example-http", "op-7", state)
    assert receipt.words == f"{word.strip()} 0E4".strip(), "the operator's words are kept"


def test_every_word_of_the_shipped_file_is_in_the_table() -> None:
    known = EXAMPLE.listening.receipt
    assert known is not None
    assert set(known.states) <= set(WORDS)


def test_a_number_in_a_receipt_is_masked() -> None:
    content = {"message": {"id": "1", "state": "failed", "cause": "no route to +1 202 555 0143"}}
    assert JSON.receipt(signed(content)).words == "failed no route to •••••43"


@pytest.mark.parametrize("message", [{"state": "delivered"}, {"state": "delivered", "id": " "}])
def test_a_receipt_without_a_reference_cannot_be_read(message: dict[str, str]) -> None:
    with pytest.raises(Unreadable, match=r"json field message\.id is missing"):
        JSON.receipt(signed({"message": message}))


def test_a_receipt_without_a_word_cannot_be_read() -> None:
    with pytest.raises(Unreadable, match=r"json field message\.state is missing"):
        JSON.receipt(signed({"message": {"id": "1"}}))


# -- dialogues ------------------------------------------------------------------------------------

STEPS: dict[str, tuple[dict[str, str], str | None, bool]] = {
    "begun, the entry is what was dialled": ({"step": "begin", "entry": "*606#"}, None, False),
    "an entry": ({"step": "more", "entry": "2"}, "2", False),
    "an empty entry is an entry": ({"step": "more", "entry": ""}, "", False),
    "no entry is an empty one": ({"step": "more"}, "", False),
    "the phone left": ({"step": "Gone"}, "", True),
    "the phone was silent": ({"step": "timed-out"}, "", True),
}


@pytest.mark.parametrize(("step", "entry", "gone"), STEPS.values(), ids=STEPS.keys())
def test_each_step_of_a_dialogue_is_told_by_its_phase(
    step: dict[str, str], entry: str | None, gone: bool
) -> None:
    dial = JSON.dial(signed({"session": "s1", "from": NUMBER, **step}))
    assert (dial.session, dial.sender, dial.entry, dial.gone) == ("s1", Number(NUMBER), entry, gone)


CHAINS = {"first": ("", None), "one": ("2", "2"), "three": ("2*H07*-12", "-12")}


@pytest.mark.parametrize(("chain", "entry"), CHAINS.values(), ids=CHAINS.keys())
def test_of_a_chain_of_entries_the_last_counts(chain: str, entry: str | None) -> None:
    assert EXAMPLE.listening.ussd is not None
    ussd = replace(EXAMPLE.listening.ussd, chain="*", phase=None, begin_words=frozenset())
    profile = replace(EXAMPLE, listening=replace(EXAMPLE.listening, ussd=ussd))
    callback = signed({"session": "s1", "from": NUMBER, "entry": chain})
    assert ProfileListener(profile, SECRETS).dial(callback).entry == entry


def test_a_dialogue_without_a_session_cannot_be_read() -> None:
    with pytest.raises(Unreadable, match="json field session is missing"):
        JSON.dial(signed({"from": NUMBER, "step": "begin"}))


def test_a_reply_is_escaped_for_its_type() -> None:
    text = 'Plot "H07":\n1 Level {text} <b>'
    kind, body = JSON.reply(Screen(text, end=False))
    assert (kind, json.loads(body)) == ("application/json", {"step": "ask", "screen": text})
    assert json.loads(JSON.reply(Screen("Bye", end=True))[1]) == {"step": "end", "screen": "Bye"}
    assert JSON.reply() == ("application/json", '{"taken": true}')


# -- any bytes at all -----------------------------------------------------------------------------

LISTENERS = {"json": JSON, "form": ProfileListener(FORM, SECRETS)}
scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text()
trees = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner)
        | st.dictionaries(st.sampled_from(["from", "message", "text", "id", "state"]), inner)
    ),
)


def check(read: Callable[[Callback], object], callback: Callback) -> None:
    found: object
    try:
        found = read(callback)
    except Unreadable as error:
        found = error
    assert "2025550143" not in f"{found} {found!r}"


@pytest.mark.parametrize("method", ["text", "receipt", "dial"])
@given(body=st.binary())
@example(body=b'{"from": "+12025550143", "message": {"id": "1", "state": "sent", "text": "x"}}')
def test_no_bytes_raise_anything_but_unreadable(method: str, body: bytes) -> None:
    check(getattr(JSON, method), signed(None, body))


@given(body=st.binary() | st.text().map(lambda text: f"words=x&msisdn={text}".encode()))
def test_no_form_raises_anything_but_unreadable(body: bytes) -> None:
    check(LISTENERS["form"].text, posted(body))


@pytest.mark.parametrize("method", ["text", "receipt", "dial"])
@given(content=trees)
def test_no_json_raises_anything_but_unreadable(method: str, content: Any) -> None:
    check(getattr(JSON, method), signed(content))


@given(st.binary(), st.dictionaries(st.text(), st.text()))
def test_no_strangers_bytes_raise_anything_but_unproven(
    body: bytes, headers: dict[str, str]
) -> None:
    with pytest.raises(Unproven):
        JSON.text(Callback("POST", headers, {}, body, NOON))
