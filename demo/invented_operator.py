"""An invented operator for the demo: takes the texts of the HTTP carrier, and says they arrived.

It answers as flows/carriers/example-http.yaml says an operator would, shows each text on the
terminal, and calls back with a signed receipt. It listens on this machine alone.

    python demo/invented_operator.py PORT GATEWAY_URL     (the secret comes from the environment)
"""

import hashlib
import hmac
import json
import os
import sys
import threading
import time
import urllib.request
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

SECRET = os.environ["GATEWAY_EXAMPLE_HTTP_SECRET"].encode()
TOKEN = os.environ["GATEWAY_EXAMPLE_HTTP_TOKEN"]
GATEWAY = sys.argv[2]
ARRIVES_AFTER_S = 1.0


class Operator(BaseHTTPRequestHandler):
    """One text out at a time, over a plain POST."""

    def do_POST(self) -> None:
        """Take a text, and let its receipt follow."""
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        if self.headers.get("Authorization") != f"Bearer {TOKEN}":
            self._answer(401, {})
            return
        sent = json.loads(body)
        reference = f"op-{time.time_ns()}"
        print(f"  operator: to a phone that ends in {sent['to'][-2:]}: {sent['text']}", flush=True)
        self._answer(202, {"message": {"id": reference, "state": "queued"}})
        threading.Timer(ARRIVES_AFTER_S, tell_arrival, [reference]).start()

    def _answer(self, status: int, content: object) -> None:
        raw = json.dumps(content).encode()
        self.send_response(status)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(raw)))
        self.end_headers()
        self.wfile.write(raw)

    def log_message(self, *_: object) -> None:
        """Nothing: the texts are shown above."""


def tell_arrival(reference: str) -> None:
    """Call the gateway back with a receipt, signed as its carrier's file asks."""
    body = json.dumps({"message": {"id": reference, "state": "delivered"}}).encode()
    stamp = str(int(time.time()))
    signature = hmac.new(SECRET, stamp.encode() + b"." + body, hashlib.sha256).hexdigest()
    request = urllib.request.Request(
        f"{GATEWAY}/carrier/example-http/receipt",
        data=body,
        headers={
            "Content-Type": "application/json",
            "X-Link-Time": stamp,
            "X-Link-Signature": signature,
        },
    )
    with urllib.request.urlopen(request, timeout=10):
        pass


if __name__ == "__main__":
    ThreadingHTTPServer(("127.0.0.1", int(sys.argv[1])), Operator).serve_forever()
