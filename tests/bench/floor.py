"""The floor under the way in: the same server and database, one row inserted and committed.

``python -m tests.bench.floor URL`` serves POST /floor on a free port of loopback.
"""

import sys

from flask import Flask, request
from sqlalchemy import Column, DateTime, Integer, MetaData, Table, Text, func, insert, make_url
from waitress.server import create_server

from gateway.store.engines import BUSY_S, sqlite_engine

TABLE = Table(
    "floor",
    MetaData(),
    Column("id", Integer, primary_key=True),
    Column("body", Text, nullable=False),
    Column("at", DateTime, server_default=func.now()),
)
THREADS = 4


def create_floor(url: str) -> Flask:
    """An application with the one route."""
    engine = sqlite_engine(make_url(url), "IMMEDIATE", BUSY_S, THREADS)
    TABLE.metadata.create_all(engine)
    app, put = Flask(__name__), insert(TABLE)

    @app.post("/floor")
    def floor() -> dict[str, bool]:
        body = request.get_json()
        with engine.connect() as conn:
            conn.execute(put, {"body": body["text"]})
            conn.commit()
        return {"taken": True}

    return app


if __name__ == "__main__":
    server = create_server(
        create_floor(sys.argv[1]), host="127.0.0.1", port=0, threads=THREADS, ident=None
    )
    print(f"serving on http://127.0.0.1:{server.effective_port}", flush=True)
    server.run()
