"""An operator's HTTP interface on loopback, over real sockets, that can behave in every bad way."""

import json
import socket
import ssl
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import TracebackType
from typing import Any


@dataclass(frozen=True)
class Seen:
    """A request as it arrived."""

    method: str
    path: str
    headers: Mapping[str, str]
    body: bytes


@dataclass(frozen=True)
class Behaviour:
    """How the next requests are answered; ``manner`` other than "answer" is misbehaviour."""

    status: int = 202
    body: bytes = b""
    headers: Mapping[str, str] = field(default_factory=dict)
    manner: str = "answer"


def answering(status: int, content: Any, **headers: str) -> Behaviour:
    """A whole answer with a JSON body."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return Behaviour(status, json.dumps(content).encode(), named)


class Operator:
    """Serves on a loopback port of its own while the context is open."""

    def __init__(self, context: ssl.SSLContext | None = None) -> None:
        self.seen: list[Seen] = []
        self.connections = 0
        self.behaviour = Behaviour()
        self.released = threading.Event()
        self._server = _Server(("127.0.0.1", 0), _Handler)
        self._server.operator, self._server.context = self, context
        scheme = "https" if context else "http"
        self.url = f"{scheme}://127.0.0.1:{self._server.server_address[1]}/v1/texts"

    def __enter__(self) -> "Operator":
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.01,))
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.released.set()
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()


class _Server(ThreadingHTTPServer):
    # Connections kept open by a client would hold a joining close for ever.
    daemon_threads = True
    request_queue_size = 64
    block_on_close = False
    operator: Operator
    context: ssl.SSLContext | None = None

    def finish_request(self, request: Any, client_address: Any) -> None:
        if self.context is not None:
            request.settimeout(5)
            try:
                request = self.context.wrap_socket(request, server_side=True)
            except (ssl.SSLError, OSError):
                return
        self.operator.connections += 1
        try:
            super().finish_request(request, client_address)
        except OSError:
            return
        finally:
            if self.context is not None:
                request.close()


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: _Server

    def _serve(self) -> None:
        operator = self.server.operator
        length = int(self.headers.get("Content-Length") or 0)
        body = self.rfile.read(length)
        operator.seen.append(Seen(self.command, self.path, dict(self.headers), body))
        getattr(self, "_" + operator.behaviour.manner)(operator.behaviour)

    do_GET = do_PUT = do_POST = _serve  # noqa: N815 (names that the library calls)

    def log_message(self, *_: Any) -> None:
        """Nothing: the tests read ``seen``."""

    def _head(self, behaviour: Behaviour, length: int | None) -> None:
        self.send_response(behaviour.status)
        for name, value in behaviour.headers.items():
            self.send_header(name, value)
        if length is not None:
            self.send_header("Content-Length", str(length))
        self.end_headers()

    def _answer(self, behaviour: Behaviour) -> None:
        self._head(behaviour, len(behaviour.body))
        self.wfile.write(behaviour.body)

    def _answer_then_close(self, behaviour: Behaviour) -> None:
        """A whole answer that promises to stay, and a connection that closes all the same."""
        self._answer(behaviour)
        self._drop()

    def _hang(self, _: Behaviour) -> None:
        self.server.operator.released.wait(10)
        self._drop()

    def _close(self, _: Behaviour) -> None:
        self._drop()

    def _close_mid_answer(self, behaviour: Behaviour) -> None:
        self._head(behaviour, len(behaviour.body) + 10)
        self.wfile.write(behaviour.body)
        self._drop()

    def _close_mid_head(self, behaviour: Behaviour) -> None:
        self.wfile.write(b"HTTP/1.1 202 Acc")
        self._drop()

    def _chunks_cut(self, behaviour: Behaviour) -> None:
        self._head(Behaviour(behaviour.status, headers={"Transfer-Encoding": "chunked"}), None)
        self.wfile.write(b"%x\r\n%s\r\n" % (len(behaviour.body), behaviour.body))
        self._drop()

    def _drip(self, behaviour: Behaviour) -> None:
        """One byte at a time, each sooner than any timeout of a single wait."""
        self._head(behaviour, 1000)
        self._drip_bytes()

    def _drip_head(self, behaviour: Behaviour) -> None:
        self.wfile.write(b"HTTP/1.1 202 Accepted\r\nX-Slow: ")
        self._drip_bytes()

    def _drip_without_length(self, behaviour: Behaviour) -> None:
        """As _drip, where the end of the connection would be the end of the answer."""
        self.close_connection = True
        self._head(Behaviour(behaviour.status, headers={"Connection": "close"}), None)
        self.wfile.write(behaviour.body)
        self._drip_bytes()

    def _drip_bytes(self) -> None:
        deadline = time.monotonic() + 5
        while time.monotonic() < deadline and not self.server.operator.released.wait(0.05):
            self.wfile.write(b" ")

    def _garbage(self, _: Behaviour) -> None:
        self.wfile.write(b"\x00\xff not http at all\r\n\r\n")
        self._drop()

    def _odd_headers(self, behaviour: Behaviour) -> None:
        """Headers that no library can parse to the end, and the answer all the same."""
        head = f"HTTP/1.1 {behaviour.status} Odd\r\nContent-Length: {len(behaviour.body)}\r\n"
        self.wfile.write(head.encode() + b" : no name\r\n\xff\xfe\r\n\r\n" + behaviour.body)
        self._drop()

    def _drop(self) -> None:
        self.close_connection = True
        try:
            self.connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            return
