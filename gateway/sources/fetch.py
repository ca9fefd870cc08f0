"""Fetches one document over https, and nothing but that: no redirect, no proxy, no second name.

What comes back is data of a stranger: its kind, its size and the time that it may take are bounded.
"""

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from http.client import HTTPException, HTTPResponse, HTTPSConnection
from time import monotonic
from typing import Final

from gateway import __version__
from gateway.advisory.errors import WeatherNotFetched
from gateway.advisory.weatherlink import WeatherLink
from gateway.sources.reach import addresses_of

OK: Final = 200
HEADERS: Final = {
    "Accept-Encoding": "identity",  # a small answer must not unpack to a large one
    "Connection": "close",
    "User-Agent": f"awd-advisory-gateway/{__version__}",
}


def fetch(link: WeatherLink) -> bytes:
    """The document behind a link. Raises WeatherNotFetched, whose words hold no address."""
    ends = monotonic() + link.within_s
    context = ssl.create_default_context()
    tls = context.wrap_socket(
        _connected(link, ends),
        server_hostname=link.host,
        do_handshake_on_connect=False,
        suppress_ragged_eofs=False,  # an end without a farewell may be somebody's cut
    )
    with tls, _cut_at(tls, ends) as cut:
        try:
            tls.do_handshake()
            return _asked(link, tls, context)
        except ssl.SSLCertVerificationError:
            raise WeatherNotFetched(link.host, "its certificate is not trusted") from None
        except (OSError, HTTPException, ValueError):
            late = cut.is_set() or monotonic() >= ends
            cause = f"not whole within {link.within_s:g} s" if late else "the connection broke"
            raise WeatherNotFetched(link.host, cause) from None


def _connected(link: WeatherLink, ends: float) -> socket.socket:
    """A connection to one of the addresses that were looked at, not to the name."""
    for address in addresses_of(link.host, link.port, link.inner_networks):
        try:
            return socket.create_connection((address, link.port), max(0.01, ends - monotonic()))
        except OSError:
            continue
    raise WeatherNotFetched(link.host, "no connection")


@contextmanager
def _cut_at(tls: ssl.SSLSocket, ends: float) -> Iterator[threading.Event]:
    """Ends the exchange in time: the timeout of a socket bounds each wait, not their sum."""
    cut = threading.Event()

    def shut() -> None:
        cut.set()
        # The plain socket's way: another thread is reading from it.
        socket.socket.shutdown(tls, socket.SHUT_RDWR)

    timer = threading.Timer(max(0.0, ends - monotonic()), shut)
    timer.daemon = True
    timer.start()
    try:
        yield cut
    finally:
        timer.cancel()
        timer.join()


def _asked(link: WeatherLink, tls: ssl.SSLSocket, context: ssl.SSLContext) -> bytes:
    with closing(HTTPSConnection(link.host, link.port, context=context)) as connection:
        connection.sock = tls
        connection.request("GET", link.target, headers=HEADERS)
        with connection.getresponse() as answer:
            _check(link, answer)
            body = answer.read(link.largest_bytes + 1)
    if len(body) > link.largest_bytes:
        raise WeatherNotFetched(link.host, f"sends more than {link.largest_bytes} bytes")
    if answer.length:  # what was promised and did not come; the library says nothing of it
        raise ConnectionError
    return body


def _check(link: WeatherLink, answer: HTTPResponse) -> None:
    """Raises WeatherNotFetched for anything but the document itself, of a kind that is wanted."""
    kind = answer.headers.get_content_type()
    if 300 <= answer.status < 400:
        cause = "sends on to another address; name the last one in flows/weather.yaml"
        raise WeatherNotFetched(link.host, cause)
    if answer.status != OK:
        raise WeatherNotFetched(link.host, f"answers with status {answer.status}")
    if answer.headers.get("Content-Encoding", "identity").casefold() != "identity":
        raise WeatherNotFetched(link.host, "sends it packed, which was not asked for")
    if "Content-Type" not in answer.headers or kind not in link.content_types:
        raise WeatherNotFetched(link.host, f"sends {kind!r}, not a kind of content_types")
