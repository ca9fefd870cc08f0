"""The two pipes of the command line, kept open and timed batch by batch."""

import os
import subprocess
import sys
import threading
import time
from collections.abc import Sequence

COMMAND = (sys.executable, "-m", "gateway")


class Pipe:
    """``gateway interpret`` or ``gateway advise`` on one core, its start left out of the time."""

    def __init__(self, command: str, core: int | None = None) -> None:
        self._process = subprocess.Popen(
            (*COMMAND, command), stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        if core is not None and hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(self._process.pid, {core})

    def rate(self, lines: Sequence[str]) -> float:
        """Lines answered in a second of this batch. Raises RuntimeError where a line is refused."""
        assert self._process.stdin
        assert self._process.stdout
        batch = "".join(f"{line}\n" for line in lines).encode()
        writer = threading.Thread(target=self._write, args=(batch,))
        began = time.perf_counter()
        writer.start()
        replies = [self._process.stdout.readline() for _ in lines]
        took = time.perf_counter() - began
        writer.join()
        refused = next((r for r in replies if not r or r.startswith(b'{"error"')), None)
        if refused is not None:
            raise RuntimeError(f"a line was refused: {refused!r}")
        return len(lines) / took

    def close(self) -> None:
        """End the pipe."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.close()
        self._process.wait(timeout=30)
        self._process.stdout.close()

    def _write(self, batch: bytes) -> None:
        assert self._process.stdin
        self._process.stdin.write(batch)
        self._process.stdin.flush()
