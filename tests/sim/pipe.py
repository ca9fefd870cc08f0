"""The installed ``gateway advise``, kept open as a pipe."""

import json
import subprocess
import sys
from types import TracebackType
from typing import Any, Self

COMMAND = [sys.executable, "-m", "gateway", "advise"]


class Pipe:
    """Cases in, advice out, one JSON line each."""

    def __init__(self) -> None:
        self.process = subprocess.Popen(
            COMMAND, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait(timeout=10)

    def advise(self, case: dict[str, Any]) -> dict[str, Any]:
        """The advice on a case; an error line is raised as what it says."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(json.dumps(case) + "\n")
        self.process.stdin.flush()
        reply: dict[str, Any] = json.loads(self.process.stdout.readline())
        if "error" in reply:
            raise ValueError(reply["error"])
        return reply
