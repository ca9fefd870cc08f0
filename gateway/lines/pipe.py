"""The pipe: one JSON line in, one JSON line out, flushed, whatever the line holds."""

import json
from collections.abc import Callable
from typing import Any, BinaryIO, TextIO


class LineError(Exception):
    """A line that cannot be served; its words go back to the caller."""


def serve_lines(
    source: BinaryIO, sink: TextIO, answer: Callable[[str], dict[str, Any]], most: int = 1_000_000
) -> None:
    """Answer each line of ``source`` on ``sink``, until it ends.

    A blank line is passed over. A bad line gets ``{"error", "line"}`` and the next is still served.
    ``answer`` takes the line's JSON text and raises LineError for a line that it cannot serve.
    """
    for number, raw in enumerate(source, start=1):
        if not raw.strip():
            continue
        try:
            if len(raw) > most:
                raise LineError(f"the line is longer than {most} bytes")
            reply = answer(raw.decode("utf-8"))
        except LineError as error:
            reply = {"error": str(error), "line": number}
        except UnicodeDecodeError as error:
            reply = {"error": f"not UTF-8 text: byte {error.start} of the line", "line": number}
        sink.write(_written(reply, getattr(sink, "encoding", None) or "utf-8") + "\n")
        sink.flush()


def _written(reply: dict[str, Any], encoding: str) -> str:
    """The reply as JSON in its own script, or escaped where the sink cannot carry that."""
    line = json.dumps(reply, ensure_ascii=False, separators=(",", ":"))
    try:
        line.encode(encoding)
    except UnicodeEncodeError:  # half a surrogate pair, or a sink that is not UTF-8
        return json.dumps(reply, separators=(",", ":"))
    return line
