"""Servers as processes of their own, and callbacks over one kept connection."""

import http.client
import json
import os
import subprocess
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path


class Served:
    """A server that says ``serving on http://HOST:PORT`` once it listens."""

    def __init__(self, command: Sequence[str], environment: Mapping[str, str]) -> None:
        self._process = subprocess.Popen(
            command, stdout=subprocess.PIPE, text=True, env={**os.environ, **environment}
        )
        assert self._process.stdout
        line = self._process.stdout.readline()
        if "serving on" not in line:
            raise RuntimeError(f"{command[-1]} did not start: {line!r}")
        host, port = line.strip().rpartition("//")[2].split(":")
        self._line = http.client.HTTPConnection(host, int(port), timeout=30)

    def post(self, path: str, body: object, headers: Mapping[str, str]) -> float:
        """Seconds until the answer to one POST was read. Raises RuntimeError for any but 200."""
        raw = json.dumps(body)
        began = time.perf_counter()
        self._line.request("POST", path, raw, {"Content-Type": "application/json", **headers})
        answer = self._line.getresponse()
        said = answer.read()
        took = time.perf_counter() - began
        if answer.status != 200:
            raise RuntimeError(f"{path} answered {answer.status}: {said[:200]!r}")
        return took

    def stop(self) -> float:
        """End it; the most memory that it ever held, in MB.

        Asked of the kernel while it lives: what is told of it afterwards counts the process that
        started it too, whose memory it was born with.
        """
        self._line.close()
        held = _most_held(self._process.pid)
        self._process.terminate()
        assert self._process.stdout
        self._process.stdout.close()
        _pid, _status, usage = os.wait4(self._process.pid, 0)
        self._process.returncode = 0
        return held or usage.ru_maxrss / 1024


def _most_held(pid: int) -> float | None:
    """The most memory that a process has held so far, in MB; None where nobody tells (proc(5))."""
    status = Path(f"/proc/{pid}/status")
    lines = status.read_text().splitlines() if status.exists() else []
    told = next((line.split()[1] for line in lines if line.startswith("VmHWM:")), None)
    return None if told is None else int(told) / 1024


def callbacks(
    numbers: Mapping[str, str], token: str, run: int
) -> Iterator[tuple[dict[str, str], dict[str, str]]]:
    """Readings from every plot's phone in turn, each with a reference of its own.

    A plot keeps its level for the run, as water does within minutes: one that jumped up and down
    would time the doubts about impossible readings, not the way in.
    """
    count = 0
    while True:
        for place, (code, number) in enumerate(numbers.items()):
            count += 1
            text = f"{code} -{5 + place % 9}"
            body = {"from": number, "text": text, "id": f"bench-{run}-{count}"}
            yield body, {"X-Carrier-Token": token}
