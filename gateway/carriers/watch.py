"""Watches one exchange at its socket: whether it began to leave, and that it ends in time."""

import socket
import threading
from types import TracebackType
from typing import Any

from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.connectionpool import HTTPConnectionPool, HTTPSConnectionPool

_current = threading.local()


class Watch:
    """Notes that the first byte is about to leave, and from then on ends an exchange in time.

    The timeout of a socket bounds each wait, not their sum: an operator that answers one byte at a
    time would hold a thread for ever.
    """

    def __init__(self, answer_s: float) -> None:
        self.began = self.was_cut = False
        self._timer = threading.Timer(answer_s, self._cut)
        self._timer.daemon = True
        self._lock = threading.Lock()
        self._socket: socket.socket | None = None

    def begin(self, sock: socket.socket | None) -> None:
        """The first byte is about to leave by ``sock``."""
        if not self.began:
            self.began, self._socket = True, sock
            self._timer.start()

    def _cut(self) -> None:
        with self._lock:
            if self._socket is not None:
                self.was_cut = True
                # The plain socket's way also for TLS: another thread is reading from it.
                _shut(self._socket)

    def __enter__(self) -> "Watch":
        _current.watch = self
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        _current.watch = None
        self._timer.cancel()
        with self._lock:
            self._socket = None


def _shut(sock: socket.socket) -> None:
    try:
        socket.socket.shutdown(sock, socket.SHUT_RDWR)
    except OSError:
        return


def _note(sock: socket.socket | None) -> None:
    watch: Watch | None = getattr(_current, "watch", None)
    if watch is not None:
        watch.begin(sock)


class _Connection(HTTPConnection):
    def send(self, data: Any) -> None:
        if self.sock is None:
            self.connect()
        _note(self.sock)
        super().send(data)


class _TlsConnection(HTTPSConnection):
    def send(self, data: Any) -> None:
        if self.sock is None:
            self.connect()
        _note(self.sock)
        super().send(data)


class WatchedPool(HTTPConnectionPool):
    ConnectionCls = _Connection


class WatchedTlsPool(HTTPSConnectionPool):
    ConnectionCls = _TlsConnection
