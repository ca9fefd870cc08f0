"""Small parts of a carrier's file that both directions share: places, secrets, placeholders."""

import re
from typing import Final, Literal

from gateway.advisory.carrier_profile import Basic, FieldAt, Login, Token
from gateway.flowfiles.reader import Entry

VARIABLE: Final = re.compile(r"[A-Z][A-Z0-9_]{2,}")
HEADER: Final = re.compile(r"[A-Za-z0-9!#$%&'*+.^_`|~-]+")
PLACEHOLDER: Final = re.compile(r"\{([^{}]*)\}")

Place = Literal["form", "query", "json", "header", "body"]


def field_at(entry: Entry, *places: Place) -> FieldAt:
    """``{form: name}``, ``{query: name}``, ``{json: path.to.value}``, ``{header: Name}``."""
    found = list(entry.keys(*places).items())
    if len(found) != 1:
        entry.fail(f"need one of {', '.join(places)} with a name, got {len(found)} of them")
    key, value = found[0]
    name = value.text().strip()
    if not name:
        value.fail("need the name of a field, got nothing")
    place = next(p for p in places if p == key)
    if place == "body":
        value.choice("whole")
        return FieldAt(place, ())
    path = tuple(name.split(".")) if place == "json" else (name,)
    if not all(path):
        value.fail("need names joined by single dots")
    return FieldAt(place, path)


def secret(entry: Entry, key: str) -> str:
    """The name of the environment variable that holds a secret.

    What stands there is never repeated in the error: it may be the secret itself.
    """
    value = entry.need(key)
    if not VARIABLE.fullmatch(value.text()):
        value.fail(
            "need the name of an environment variable in capitals (such as GATEWAY_LINK_TOKEN), "
            "never the secret itself"
        )
    return value.text()


def header_name(entry: Entry, name: str | None = None) -> str:
    """The name of an HTTP header: ``name``, or what stands here. Source: RFC 9110, 5.6.2."""
    found = entry.text() if name is None else name
    if not HEADER.fullmatch(found):
        entry.fail("need the name of a header: letters, digits and hyphens, no blanks")
    return found


def token(entry: Entry) -> Token:
    """A token in a header or in the query."""
    entry.keys("kind", "header", "query", "prefix", "secret")
    header, query, prefix = (entry.get(key) for key in ("header", "query", "prefix"))
    if (header is None) == (query is None):
        entry.fail("need either header or query, with the name that carries the token")
    if header is not None:
        prefix_text = prefix.text() if prefix else ""
        return Token("header", header_name(header), secret(entry, "secret"), prefix_text)
    if prefix is not None:
        prefix.fail("a prefix stands in a header only; leave it out")
    return Token("query", query.text() if query else "", secret(entry, "secret"))


def basic(entry: Entry) -> Basic:
    """A name and a password, both secrets."""
    entry.keys("kind", "user", "password")
    return Basic(secret(entry, "user"), secret(entry, "password"))


def login(entry: Entry) -> Login | None:
    """How we prove ourselves to the operator."""
    kind = entry.need("kind").choice("token", "basic", "none")
    if kind == "none":
        entry.keys("kind")
        return None
    return token(entry) if kind == "token" else basic(entry)


def template(entry: Entry, *known: str) -> str:
    """A text with placeholders; any but ``known`` is a mistake."""
    text = entry.text()
    for found in PLACEHOLDER.findall(text):
        if found not in known:
            shown = ", ".join(f"{{{name}}}" for name in known)
            entry.fail(f"unknown placeholder {{{found}}}; known here: {shown}")
    return text
