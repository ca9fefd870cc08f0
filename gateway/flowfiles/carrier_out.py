"""The ``send`` part of a carrier's file: the request that hands a text over, and its answers."""

import ipaddress
from typing import Any, Final, get_args
from urllib.parse import urlsplit

import yaml

from gateway.advisory.carrier_profile import AnswerRow, Answers, Outcome, Sending
from gateway.flowfiles.carrier_parts import field_at, header_name, login, template
from gateway.flowfiles.reader import Entry

PLACEHOLDERS: Final = ("to", "text", "from", "id")
OUTCOMES: Final[dict[str, Outcome]] = {word: word for word in get_args(Outcome)}
LONGEST_WAIT_S: Final = 24 * 3600
LONGEST_ANSWER_S: Final = 120
LARGEST_ANSWER: Final = 1024 * 1024


def sending(entry: Entry) -> Sending:
    """The outbound half of a carrier. Raises FlowError."""
    entry.keys(
        "method",
        "url",
        "plain_http",
        "headers",
        "form",
        "json",
        "query",
        "login",
        "number_form",
        "connect_s",
        "answer_s",
        "largest_answer_bytes",
        "link_wait_s",
        "answers",
    )
    method = entry.need("method").choice("POST", "PUT", "GET")
    form, body = _body(entry, method)
    headers = entry.get("headers")
    number_form = entry.need("number_form").choice("plus", "digits")
    return Sending(
        method="GET" if method == "GET" else "PUT" if method == "PUT" else "POST",
        url=_url(entry),
        headers=_headers(headers) if headers else (),
        form="json" if form == "json" else "form" if form == "form" else "query",
        body=body,
        login=login(entry.need("login")),
        number_form="plus" if number_form == "plus" else "digits",
        connect_s=entry.need("connect_s").number(0.1, LONGEST_ANSWER_S, "seconds"),
        answer_s=entry.need("answer_s").number(0.1, LONGEST_ANSWER_S, "seconds"),
        largest_answer_bytes=entry.need("largest_answer_bytes").whole(1, LARGEST_ANSWER, "bytes"),
        link_wait_s=entry.need("link_wait_s").number(1, LONGEST_WAIT_S, "seconds"),
        answers=_answers(entry.need("answers")),
    )


def _url(entry: Entry) -> str:
    url, plain = entry.need("url"), entry.get("plain_http")
    parts = urlsplit(url.text()) if _is_address(url.text()) else urlsplit("")
    if parts.scheme not in ("https", "http") or not parts.hostname or parts.username:
        url.fail("need an address such as https://host/path, without a name or password in it")
    allowed = parts.scheme == "https" or _is_loopback(parts.hostname) or (plain and plain.flag())
    if not allowed:
        url.fail("need https://; where the way is closed to others (a VPN), say plain_http: yes")
    return url.text()


def _is_address(text: str) -> bool:
    try:
        port = urlsplit(text).port
    except ValueError:
        return False
    return port != 0 and text.isascii() and text.isprintable() and not set(text) & set(" {}#")


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _headers(entry: Entry) -> tuple[tuple[str, str], ...]:
    return tuple((header_name(value, name), _header(value)) for name, value in entry.items())


def _header(entry: Entry) -> str:
    # The text stays out of headers: they hold neither line breaks nor most scripts.
    value = template(entry, "to", "from", "id")
    return value if value.isascii() and value.isprintable() else entry.fail("need plain ASCII")


def _body(entry: Entry, method: str) -> tuple[str, Any]:
    given = [key for key in ("form", "json", "query") if entry.get(key)]
    if len(given) != 1:
        entry.fail(f"need one of form, json, query, got {len(given)} of them")
    form, body = given[0], entry.need(given[0])
    if method == "GET" and form != "query":
        body.fail("a GET has no body; need query")
    tree = _tree(body) if form == "json" else {k: _plain(v) for k, v in body.items()}
    for wanted in ("to", "text"):
        if not _holds(tree, f"{{{wanted}}}"):
            body.fail(f"need {{{wanted}}} somewhere, else it never reaches the operator")
    return form, tree


def _plain(entry: Entry) -> str:
    return template(entry, *PLACEHOLDERS)


def _tree(entry: Entry) -> Any:
    if entry.is_mapping():
        return {name: _tree(value) for name, value in entry.items()}
    if entry.is_list():
        return [_tree(value) for value in entry.list()]
    text = "" if entry.is_null() else _plain(entry)
    kind = entry.node.tag.rpartition(":")[2]
    if kind in ("null", "bool", "int", "float"):
        return yaml.safe_load(text or "null")
    return text


def _holds(tree: Any, placeholder: str) -> bool:
    if isinstance(tree, dict):
        return any(_holds(value, placeholder) for value in tree.values())
    if isinstance(tree, list):
        return any(_holds(value, placeholder) for value in tree)
    return isinstance(tree, str) and placeholder in tree


# -- answers --------------------------------------------------------------------------------------


def _answers(entry: Entry) -> Answers:
    entry.keys("reference", "word", "wait_at_most_s", "rows")
    reference, word = entry.get("reference"), entry.get("word")
    rows: list[AnswerRow] = []
    for each in entry.need("rows").list():
        rows.append(_row(each, has_word=word is not None))
        _check_reached(each, rows)
    if not any(row.outcome == "handed-over" for row in rows):
        entry.need("rows").fail("need a row whose outcome is handed-over")
    return Answers(
        rows=tuple(rows),
        wait_at_most_s=entry.need("wait_at_most_s").number(1, LONGEST_WAIT_S, "seconds"),
        reference=field_at(reference, "json", "form", "header", "body") if reference else None,
        word=field_at(word, "json", "form", "header", "body") if word else None,
    )


def _row(entry: Entry, has_word: bool) -> AnswerRow:
    entry.keys("status", "word", "outcome", "wait_s")
    words, wait = entry.get("word"), entry.get("wait_s")
    if words and not has_word:
        words.fail("say first, under answers, in which field the word stands")
    low, high = _span(entry.need("status"))
    return AnswerRow(
        from_status=low,
        to_status=high,
        outcome=OUTCOMES[entry.need("outcome").choice(*OUTCOMES)],
        words=frozenset(w.text().strip().casefold() for w in words.list()) if words else None,
        wait_s=wait.number(0, LONGEST_WAIT_S, "seconds") if wait else None,
    )


def _span(entry: Entry) -> tuple[int, int]:
    low, _, high = entry.text().partition("-")
    ends = (low.strip(), (high or low).strip())
    if not all(end.isascii() and end.isdecimal() and 100 <= int(end) <= 599 for end in ends):
        entry.fail("need a status such as 429, or a span such as 200-299")
    if int(ends[0]) > int(ends[1]):
        entry.fail("need the lower status first")
    return int(ends[0]), int(ends[1])


def _check_reached(entry: Entry, rows: list[AnswerRow]) -> None:
    last = rows[-1]
    for number, row in enumerate(rows[:-1], start=1):
        within = row.from_status <= last.from_status and last.to_status <= row.to_status
        if within and (row.words is None or (last.words and last.words <= row.words)):
            entry.fail(f"never reached, row {number} takes all of it; move it up or leave it out")
