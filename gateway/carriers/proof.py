"""Whether the caller proved who they are. All comparisons take the same time, right or wrong."""

import base64
import binascii
import hashlib
import hmac
import re
from collections.abc import Mapping
from typing import Final

from gateway.advisory.carrier_profile import Basic, Proof, Signature, Token
from gateway.advisory.errors import Unproven
from gateway.advisory.records import Callback

# Not \d: it, like int(), would also take digits of other scripts.
UNIX_SECONDS: Final = re.compile(r"[0-9]{1,12}")


def prove(carrier: str, proof: Proof, secrets: Mapping[str, str], callback: Callback) -> None:
    """Raise Unproven unless ``callback`` is proven as ``proof`` says.

    A secret that is missing or empty proves nobody: an unset variable never opens a door.
    """
    if isinstance(proof, Token):
        cause = _token(proof, secrets, callback)
    elif isinstance(proof, Basic):
        cause = _basic(proof, secrets, callback)
    else:
        cause = _signature(proof, secrets, callback)
    if cause:
        raise Unproven(carrier, cause)


def sign(secret: str, timestamp: str, body: bytes) -> bytes:
    """HMAC-SHA-256 over timestamp, ".", raw body. Source: RFC 2104."""
    return hmac.new(secret.encode(), timestamp.encode() + b"." + body, hashlib.sha256).digest()


def header_of(headers: Mapping[str, str], name: str) -> str | None:
    """A header, whatever the case of its name. Source: RFC 9110, 5.1."""
    wanted = name.lower()
    return next((value for key, value in headers.items() if key.lower() == wanted), None)


def _token(proof: Token, secrets: Mapping[str, str], callback: Callback) -> str:
    in_header = proof.place == "header"
    given = header_of(callback.headers, proof.name) if in_header else callback.query.get(proof.name)
    secret = secrets.get(proof.secret, "")
    if not secret:
        return f"{proof.secret} is not set"
    if given is None:
        return f"{proof.place} {proof.name} is missing"
    wanted = proof.prefix + secret if in_header else secret
    return "" if _same(given, wanted) else f"{proof.place} {proof.name} is wrong"


def _basic(proof: Basic, secrets: Mapping[str, str], callback: Callback) -> str:
    user, password = secrets.get(proof.user, ""), secrets.get(proof.password, "")
    if not user or not password:
        return f"{proof.user} or {proof.password} is not set"
    given = header_of(callback.headers, "Authorization")
    if given is None:
        return "header Authorization is missing"
    kind, _, code = given.partition(" ")
    if kind.lower() != "basic":
        return "header Authorization is not Basic"
    return (
        ""
        if _same_bytes(_decoded(code.strip()), f"{user}:{password}".encode())
        else "wrong name or password"
    )


def _signature(proof: Signature, secrets: Mapping[str, str], callback: Callback) -> str:
    secret = secrets.get(proof.secret, "")
    stamp = header_of(callback.headers, proof.timestamp_header)
    given = header_of(callback.headers, proof.signature_header)
    if not secret:
        return f"{proof.secret} is not set"
    if stamp is None or given is None:
        missing = proof.timestamp_header if stamp is None else proof.signature_header
        return f"header {missing} is missing"
    if not UNIX_SECONDS.fullmatch(stamp):
        return f"header {proof.timestamp_header} is not Unix seconds"
    if abs(callback.at.timestamp() - int(stamp)) > proof.window_s:
        return f"header {proof.timestamp_header} is outside {proof.window_s} s"
    right = _same_bytes(_signed(given, proof), sign(secret, stamp, callback.body))
    return "" if right else f"header {proof.signature_header} is wrong"


def _signed(given: str, proof: Signature) -> bytes:
    code = given.removeprefix(proof.prefix)
    if proof.encoding == "base64":
        return _decoded(code)
    try:
        return bytes.fromhex(code)
    except ValueError:
        return b""


def _decoded(code: str) -> bytes:
    try:
        return base64.b64decode(code, validate=True)
    except (binascii.Error, ValueError):
        return b""


def _same(given: str, wanted: str) -> bool:
    return _same_bytes(given.encode("utf-8", "replace"), wanted.encode())


def _same_bytes(given: bytes, wanted: bytes) -> bool:
    return hmac.compare_digest(given, wanted)
