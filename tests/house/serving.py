"""Starts and stops the installed ``gateway`` as an operator of it would: real processes."""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import urllib3

from gateway.settings import shipped

GATEWAY = str(Path(sys.executable).parent / "gateway")
PASSWORD = "a password for tests"
SECRET = "the secret of an invented operator"


def settings(url: str, **more: str) -> dict[str, str]:
    """The environment of a command: nothing of this process but the path."""
    return {
        "PATH": os.environ["PATH"],
        "GATEWAY_DATABASE_URL": url,
        "GATEWAY_PHONE_KEYS": "a key for tests only and thirty-two long",
        "GATEWAY_WEB_SECRET": "a secret for tests only",
        "GATEWAY_PORT": "0",
        "GATEWAY_TICK_SECONDS": "0.2",
        "GATEWAY_EXAMPLE_HTTP_SECRET": SECRET,
        "GATEWAY_EXAMPLE_HTTP_TOKEN": "an invented token",
        **more,
    }


def run(environment: dict[str, str], *words: str, give: str = "") -> subprocess.CompletedProcess:  # type: ignore[type-arg]
    """Run one command of the gateway to its end."""
    return subprocess.run(
        [GATEWAY, *words],
        env=environment,
        input=give,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@dataclass
class Server:
    """A running ``gateway serve``; ``log`` is where standard error goes."""

    process: subprocess.Popen[str]
    url: str
    log: Path
    http: urllib3.PoolManager = field(default_factory=urllib3.PoolManager)

    def ask(self, method: str, path: str, **kwargs: Any) -> Any:
        """One request, without retries."""
        return self.http.request(method, self.url + path, retries=False, timeout=20, **kwargs)


@contextmanager
def serving(environment: dict[str, str], log: Path) -> Iterator[Server]:
    """A server for as long as the context is open; ended by SIGTERM, unless it is dead already."""
    with log.open("ab") as sink:
        process = subprocess.Popen(
            [GATEWAY, "serve"], env=environment, stdout=subprocess.PIPE, stderr=sink, text=True
        )
    server = None
    try:
        assert process.stdout
        said = process.stdout.readline()
        found = re.search(r"http://\S+", said)
        assert found, f"{said!r} {log.read_text('utf-8')}"
        server = Server(process, found.group(), log)
        yield server
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGTERM)
        process.wait(timeout=30)
        if process.stdout:
            process.stdout.close()
        if server:
            server.http.clear()


def flows_with_operator(folder: Path, url: str) -> Path:
    """A copy of the flows folder whose example carrier sends to ``url``."""
    flows = folder / "flows"
    shutil.copytree(shipped("flows"), flows)
    example = flows / "carriers" / "example-http.yaml"
    text = example.read_text("utf-8")
    edited = text.replace("https://link.example/v1/texts", url)
    assert edited != text
    example.write_text(edited, "utf-8")
    return flows


def signed(body: dict[str, Any], secret: str = SECRET, at: float | None = None) -> dict[str, Any]:
    """Body and headers of a callback, signed as the example carrier's file says."""
    import hashlib
    import hmac

    raw = json.dumps(body).encode()
    stamp = str(int(at or time.time()))
    digest = hmac.new(secret.encode(), stamp.encode() + b"." + raw, hashlib.sha256).hexdigest()
    return {"body": raw, "headers": {"X-Link-Time": stamp, "X-Link-Signature": digest}}


def wait_for(what: Any, seconds: float = 20) -> Any:
    """What ``what()`` gives once it is true; fails when the time is over."""
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        found = what()
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError("it did not come")
