"""One HTTP exchange, and the one thing a sender must know when it fails: had it begun to leave?"""

import logging
import ssl
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.client import HTTPException
from typing import Final

import urllib3
from urllib3.exceptions import (
    ConnectTimeoutError,
    HTTPError,
    NameResolutionError,
    NewConnectionError,
    SSLError,
)
from urllib3.response import BaseHTTPResponse

from gateway.carriers.watch import Watch, WatchedPool, WatchedTlsPool

CONNECTIONS_KEPT: Final = 16


@dataclass(frozen=True, slots=True)
class Request:
    """What to send, and how long and how much to wait for: seconds and bytes."""

    method: str
    url: str = field(repr=False)
    headers: Mapping[str, str] = field(repr=False)
    body: bytes | None = field(repr=False)
    connect_s: float
    answer_s: float
    largest_answer_bytes: int


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back, whole."""

    status: int
    headers: Mapping[str, str]
    body: bytes = field(repr=False)


class NotSent(Exception):
    """The exchange failed before its first byte left: certainly nothing was taken."""


class Unsure(Exception):
    """The exchange failed after it began to leave: it may have been taken."""


class Wire:
    """Connections to operators, kept open and shared by threads. It repeats and redirects nothing.

    The certificate of an https host is always checked, against the system's authorities.
    """

    def __init__(self) -> None:
        _keep_quiet()
        self._pool = urllib3.PoolManager(
            maxsize=CONNECTIONS_KEPT, ssl_context=ssl.create_default_context()
        )
        self._pool.pool_classes_by_scheme = {"http": WatchedPool, "https": WatchedTlsPool}

    def ask(self, request: Request) -> Answer:
        """The answer to a request. Raises NotSent or Unsure, whose words hold no address."""
        with Watch(request.answer_s) as watch:
            try:
                answer = self._exchange(request)
            except (HTTPError, HTTPException, OSError) as error:
                raise _trouble(error, watch, request) from None
            if watch.was_cut:
                raise Unsure(f"no whole answer within {request.answer_s:g} s")
            return answer

    def close(self) -> None:
        """Close all connections."""
        self._pool.clear()

    def _exchange(self, request: Request) -> Answer:
        response = self._pool.urlopen(
            request.method,
            request.url,
            headers=dict(request.headers),
            body=request.body,
            redirect=False,
            retries=False,
            preload_content=False,
            decode_content=False,
            timeout=urllib3.Timeout(connect=request.connect_s, read=request.answer_s),
        )
        try:
            return Answer(response.status, response.headers, _whole(response, request))
        finally:
            response.release_conn()


def _keep_quiet() -> None:
    # urllib3 logs addresses (each one for debugging, and with warnings of odd headers), and an
    # address may hold a phone's number and our token.
    for name in ("urllib3.connectionpool", "urllib3.connection"):
        logging.getLogger(name).setLevel(logging.CRITICAL)


def _whole(response: BaseHTTPResponse, request: Request) -> bytes:
    # The second read is what notices that an answer was cut short.
    body = response.read(request.largest_answer_bytes + 1) + response.read(1)
    if len(body) > request.largest_answer_bytes:
        response.close()
        raise Unsure(f"answer is larger than {request.largest_answer_bytes} bytes")
    return body


def _trouble(error: Exception, watch: Watch, request: Request) -> NotSent | Unsure:
    # The words are ours: the library's own hold the address.
    if watch.began:
        late = watch.was_cut or isinstance(error, urllib3.exceptions.ReadTimeoutError)
        words = f"no whole answer within {request.answer_s:g} s" if late else "connection broke"
        return Unsure(words)
    if isinstance(error, NameResolutionError):
        return NotSent("host name not found")
    if isinstance(error, NewConnectionError):
        return NotSent("no connection")
    if isinstance(error, ConnectTimeoutError):
        return NotSent(f"no connection within {request.connect_s:g} s")
    return NotSent("TLS failed" if isinstance(error, SSLError) else "no connection")
