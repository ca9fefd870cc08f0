"""flows/carriers/: every mistake is answered with file, line, column and a cure."""

import re
from pathlib import Path

import pytest

from gateway.flowfiles.carriers import load_carrier, load_carriers
from gateway.flowfiles.reader import FlowError
from tests.carriers.conftest import FLOWS

EXAMPLE = (FLOWS / "carriers" / "example-http.yaml").read_text(encoding="utf-8")
SIMULATOR = (FLOWS / "carriers" / "simulator.yaml").read_text(encoding="utf-8")


def test_the_shipped_carriers_are_read() -> None:
    carriers = load_carriers(FLOWS)
    assert list(carriers) == ["example-http", "simulator"]
    assert {name: carrier.name for name, carrier in carriers.items()} == {n: n for n in carriers}
    assert carriers["example-http"].secret_names() == (
        "GATEWAY_EXAMPLE_HTTP_SECRET",
        "GATEWAY_EXAMPLE_HTTP_TOKEN",
    )
    assert carriers["simulator"].secret_names() == ("GATEWAY_SIMULATOR_TOKEN",)


def test_the_window_of_the_shipped_example_is_the_one_of_the_contract() -> None:
    proof = load_carriers(FLOWS)["example-http"].listening.proof
    assert getattr(proof, "window_s", None) == 300


# file, what is replaced, by what, where the mistake is found (at ¦ or else where this begins), cure
Mistake = tuple[str, str, str, str, str]
MISTAKES: dict[str, Mistake] = {
    "unknown placeholder in the body": (
        EXAMPLE,
        'text: "{text}", our_id',
        'text: "{words}", our_id',
        '"{words}"',
        "text: unknown placeholder {words}; known here: {to}, {text}, {from}, {id}",
    ),
    "the text in a header": (
        EXAMPLE,
        'X-Link-Request: "{id}"',
        'X-Link-Request: "{text}"',
        'Request: ¦"{text}"',
        "X-Link-Request: unknown placeholder {text}; known here: {to}, {from}, {id}",
    ),
    "a header with a blank": (
        EXAMPLE,
        "X-Link-Request: ",
        "X Link: ",
        '"{id}"',
        "X Link: need the name of a header: letters, digits and hyphens, no blanks",
    ),
    "the text never sent": (
        EXAMPLE,
        'text: "{text}", our_id',
        "our_id",
        '{to: "{to}"',
        "json: need {text} somewhere, else it never reaches the operator",
    ),
    "unknown receipt state": (
        EXAMPLE,
        "expired: [expired]",
        "lost: [expired]",
        "lost: [expired]",
        "lost: unknown key; known here: delivered, undeliverable, expired, underway",
    ),
    "one receipt word for two states": (
        EXAMPLE,
        "expired: [expired]",
        "expired: [Failed]",
        "Failed]",
        "expired: 'Failed' is undeliverable already; keep one",
    ),
    "no word for delivered": (
        EXAMPLE,
        "delivered: [delivered]",
        "delivered: []",
        "delivered: []",
        "states: need a word for delivered",
    ),
    "secret missing": (
        EXAMPLE,
        "    secret: GATEWAY_EXAMPLE_HTTP_SECRET\n",
        "",
        "kind: hmac",
        "proof: the key secret is missing here",
    ),
    "secret itself in the file": (
        EXAMPLE,
        "secret: GATEWAY_EXAMPLE_HTTP_SECRET",
        "secret: hunter2",
        "hunter2",
        "secret: need the name of an environment variable in capitals (such as "
        "GATEWAY_LINK_TOKEN), never the secret itself",
    ),
    "unknown proof": (
        EXAMPLE,
        "kind: hmac",
        "kind: magic",
        "magic",
        "kind: need one of token, basic, hmac, got 'magic'",
    ),
    "a window wider than the contract": (
        EXAMPLE,
        "window_s: 300",
        "window_s: 3000",
        "3000",
        "window_s: need at least 1 and at most 300, got 3000",
    ),
    "a signed profile that reads the query": (
        EXAMPLE,
        "from: {json: from}\n    text",
        "from: {query: from}\n    text",
        "{query: from}",
        "from: the query is not signed with hmac; need form or json",
    ),
    "a field in two places": (
        EXAMPLE,
        "entry: {json: entry}",
        "entry: {json: entry, form: entry}",
        "{json: entry, form",
        "entry: need one of form, query, json with a name, got 2 of them",
    ),
    "a path with a gap": (
        EXAMPLE,
        "message.text",
        "message..text",
        "message..text",
        "json: need names joined by single dots",
    ),
    "a screen without its words": (
        EXAMPLE,
        '\'{"step": "end", "screen": "{text}"}\'',
        '\'{"step": "end"}\'',
        '\'{"step": "end"}\'',
        "body: need {text} once, where the words of the screen go",
    ),
    "a screen that is no JSON": (
        EXAMPLE,
        '\'{"step": "end", "screen": "{text}"}\'',
        "'{\"screen\": {text}}'",
        "'{\"screen\": {text}}'",
        "body: need JSON, with {text} inside quotes, as the type says",
    ),
    "an address without TLS": (
        EXAMPLE,
        "https://link",
        "http://link",
        "http://link",
        "url: need https://; where the way is closed to others (a VPN), say plain_http: yes",
    ),
    "a password in the address": (
        EXAMPLE,
        "https://link",
        "https://me:pw@link",
        "https://me",
        "url: need an address such as https://host/path, without a name or password in it",
    ),
    "an address with an impossible port": (
        EXAMPLE,
        "link.example/",
        "link.example:99999/",
        "https://link.example:99999",
        "url: need an address such as https://host/path, without a name or password in it",
    ),
    "a GET with a body": (
        EXAMPLE,
        "method: POST",
        "method: GET",
        '{to: "{to}"',
        "json: a GET has no body; need query",
    ),
    "two bodies": (
        EXAMPLE,
        "  number_form",
        '  form: {to: "{to}", text: "{text}"}\n  number_form',
        "method: POST\n  url",
        "send: need one of form, json, query, got 2 of them",
    ),
    "unknown outcome": (
        EXAMPLE,
        "status: 408, outcome: in-doubt",
        "status: 408, outcome: perhaps",
        "perhaps",
        "outcome: need one of handed-over, refused, try-again, in-doubt, link-down, got 'perhaps'",
    ),
    "a status that is none": (
        EXAMPLE,
        "status: 429",
        "status: 42",
        "42,",
        "status: need a status such as 429, or a span such as 200-299",
    ),
    "a span turned round": (
        EXAMPLE,
        "status: 401-403",
        "status: 403-401",
        "403-401",
        "status: need the lower status first",
    ),
    "a row that is never reached": (
        EXAMPLE,
        "{status: 503,",
        "{status: 402,",
        "{status: 402,",
        "rows: never reached, row 3 takes all of it; move it up or leave it out",
    ),
    "nothing is ever handed over": (
        EXAMPLE,
        "outcome: handed-over",
        "outcome: in-doubt",
        "- {status: 200-299, word: [queued",
        "rows: need a row whose outcome is handed-over",
    ),
    "words of an answer from nowhere": (
        EXAMPLE,
        "    word: {json: message.state}\n    wait",
        "    wait",
        "[queued, sent], outcome",
        "word: say first, under answers, in which field the word stands",
    ),
    "a sender too long for a phone": (
        EXAMPLE,
        'sender: "60606"',
        "sender: Irrigation Office",
        "Irrigation Office",
        "sender: need a number of up to 15 digits, or a name of up to 11 characters",
    ),
    "a currency that is none": (
        EXAMPLE,
        "currency: XXX",
        "currency: coins",
        "coins",
        "currency: need three capital letters as in ISO 4217 (XXX where there is none)",
    ),
    "a region in words": (
        EXAMPLE,
        "  # region: GH ",
        "  region: Ghana # ",
        "Ghana",
        "region: need two capital letters as in ISO 3166, or leave it out",
    ),
    "who pays is nobody": (
        EXAMPLE,
        "texts_in_paid_by: grower",
        "texts_in_paid_by: nobody",
        "nobody",
        "texts_in_paid_by: need one of grower, office, got 'nobody'",
    ),
    "an unknown kind": (
        SIMULATOR,
        "kind: simulator",
        "kind: pigeon",
        "pigeon",
        "kind: need one of http, simulator, got 'pigeon'",
    ),
    "an unknown key on top": (
        SIMULATOR,
        "can_be_answered: yes",
        "can_be_answered: yes\ncolour: red",
        "¦colour: red",
        "colour: unknown key; known here: kind, title, sender, can_be_answered, "
        "texts_in_paid_by, price, listen, simulate",
    ),
    "a share above one": (
        SIMULATOR,
        "loss: 0 ",
        "loss: 2 ",
        "2 ",
        "loss: need at least 0 and at most 1, got 2",
    ),
    "shares that exceed the whole": (
        SIMULATOR,
        "undeliverable: 0}",
        "undeliverable: 0.1}",
        "{delivered: 1",
        "receipts: need shares that come to 1 at most; what is left gets no receipt",
    ),
    "a span of one end": (
        SIMULATOR,
        "  delay_s: [0, 0]",
        "  delay_s: [3]",
        "[3]",
        "delay_s: need two numbers of seconds, the shortest and the longest, got 1",
    ),
    "a span whose end comes first": (
        SIMULATOR,
        "  delay_s: [0, 0]",
        "  delay_s: [3, 1]",
        "1]",
        "delay_s: need at least 3, got 1",
    ),
}


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_answered_with_its_place_and_cure(tmp_path: Path, mistake: Mistake) -> None:
    shipped, old, new, found_at, cure = mistake
    assert shipped.count(old) == 1
    text = shipped.replace(old, new)
    path = tmp_path / "link.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FlowError) as caught:
        load_carrier(path)
    assert str(caught.value).endswith(f" {cure}")
    assert (caught.value.path, caught.value.line, caught.value.column) == (
        path,
        *_place(text, found_at),
    )
    assert "hunter2" not in str(caught.value)


def _place(text: str, found_at: str) -> tuple[int, int]:
    context, _, rest = found_at.rpartition("¦")
    at = text.index(context + rest) + len(context)
    before = text[:at]
    return before.count("\n") + 1, at - (before.rfind("\n") + 1) + 1


def test_the_name_of_a_file_is_the_name_in_the_address(tmp_path: Path) -> None:
    path = tmp_path / "My Link.yaml"
    path.write_text(SIMULATOR, encoding="utf-8")
    with pytest.raises(FlowError, match=re.escape(f"{path}:1:1 need a file name of small letters")):
        load_carrier(path)


def test_an_office_without_carriers_is_told_so(tmp_path: Path) -> None:
    with pytest.raises(FlowError, match="need at least one carrier"):
        load_carriers(tmp_path)


def test_plain_http_is_taken_where_the_file_says_that_the_way_is_closed(tmp_path: Path) -> None:
    path = tmp_path / "link.yaml"
    url = "http://10.0.0.9/v1\n  plain_http: yes"
    path.write_text(EXAMPLE.replace("https://link.example/v1/texts", url), encoding="utf-8")
    sending = load_carrier(path).sending
    assert sending is not None
    assert sending.url == "http://10.0.0.9/v1"


KEYS = sorted(set(re.findall(r"(?m)^ {0,2}([a-z_]+):", SIMULATOR + EXAMPLE)))


@pytest.mark.parametrize("key", KEYS)
def test_a_slip_in_any_key_is_named(tmp_path: Path, key: str) -> None:
    slip = re.compile(rf"(?m)^( {{0,2}}){key}:")
    shipped = EXAMPLE if slip.search(EXAMPLE) else SIMULATOR
    path = tmp_path / "link.yaml"
    path.write_text(slip.sub(rf"\g<1>{key}s:", shipped), encoding="utf-8")
    with pytest.raises(FlowError, match=rf"the key {key} is missing|{key}s: unknown key"):
        load_carrier(path)
