"""How fast a broadcast is put in the outbox, beside a bare bulk insert of the same rows.

``python -m tests.bench.many [--phones N] [--rounds N] [--urls URL URL]`` takes two stores of its
own on SQLite, or two empty databases. The bare insert writes the very rows that the broadcast made
into the twin, by executemany in batches of the same size, each committed; the two take turns.
"""

import argparse
import tempfile
import time
from datetime import timedelta
from statistics import median
from typing import Any

from sqlalchemy import insert, select

from gateway.advisory.broadcasts import Audience, NewBroadcast, Wording, topic_of
from gateway.advisory.records import OfficeUser
from gateway.store.migrate import migrate
from gateway.store.tables.places import grower, phone, plot, reader
from gateway.store.tables.traffic import outbox
from tests.houses import TestHouse, open_test_house

AT_ONCE = 10_000
WORDS = Wording(own={"en": "{scheme}: plots {plots}, the canal is shut on Friday. Text HELP"})
USER = OfficeUser(0, 0, "bench", "officer")


def fill(home: TestHouse, phones: int) -> None:
    """So many phones that each read a plot; their numbers are no numbers at all."""
    now, scheme = home.clock.now(), home.scheme_id
    with home.house.store.begin_work() as work:
        for first in range(1, phones + 1, AT_ONCE):
            ids = range(first, min(first + AT_ONCE, phones + 1))
            fixed: dict[str, Any] = {"scheme_id": scheme}
            work.run_many(insert(grower), [fixed | {"id": i, "name": f"G{i}"} for i in ids])
            work.run_many(
                insert(plot),
                [fixed | {"id": i, "block_id": home.block_id, "code": f"P{i:06}"} for i in ids],
            )
            work.run_many(
                insert(phone),
                [
                    fixed
                    | {
                        "id": i,
                        "number": b"n",
                        "mark": str(i).encode(),
                        "language": "en",
                        "known": True,
                        "since": now,
                    }
                    for i in ids
                ],
            )
            work.run_many(
                insert(reader),
                [fixed | {"phone_id": i, "plot_id": i, "grower_id": i, "since": now} for i in ids],
            )
        work.conn.commit()


def put(home: TestHouse) -> tuple[int, float, float]:
    """A broadcast, the seconds to list everybody, and those to put a text for each."""
    scheme, use = home.house.scheme, home.house.broadcasting
    new = NewBroadcast("Bench", Audience(), WORDS, home.clock.now() + timedelta(hours=1))
    begun = time.perf_counter()
    made = use.write(scheme, USER, new)
    listed = time.perf_counter() - begun
    with home.house.store.begin() as unit:
        assert unit.broadcasts.change(made, "draft", "released", "bench", home.clock.now())
        unit.commit()
    begun = time.perf_counter()
    home.house.put_broadcasts()
    return made, listed, time.perf_counter() - begun


def bare(home: TestHouse, rows: list[dict[str, Any]]) -> float:
    """Seconds to insert the same rows and nothing else."""
    batch = home.house.broadcast_customs.batch
    begun = time.perf_counter()
    for first in range(0, len(rows), batch):
        with home.house.store.begin_work() as work:
            work.run_many(insert(outbox), rows[first : first + batch])
            work.conn.commit()
    return time.perf_counter() - begun


def rows_of(home: TestHouse, broadcast_id: int) -> list[dict[str, Any]]:
    """The rows that a broadcast put."""
    columns = [column for column in outbox.c if column.name != "id"]
    found = select(*columns).where(outbox.c.topic == topic_of(broadcast_id))
    with home.house.store.begin_work(write=False) as work:
        return [dict(row._mapping) for row in work.rows(found)]


def measure(urls: tuple[str, str], phones: int, rounds: int) -> dict[str, float]:
    """Medians over the rounds, in rows a second: the two stores grow alike, in turns."""
    home, twin = (open_test_house(url) for url in urls)
    fill(home, phones)
    fill(twin, phones)
    found: dict[str, list[float]] = {"list": [], "put": [], "bare": []}
    for _ in range(rounds):
        made, listed, took = put(home)
        rows = rows_of(home, made)
        assert len(rows) == phones
        found["list"].append(phones / listed)
        found["put"].append(phones / took)
        found["bare"].append(phones / bare(twin, rows))
    home.close()
    twin.close()
    return {name: median(values) for name, values in found.items()}


def print_many(phones: int, rounds: int, urls: tuple[str, str] | None = None) -> None:
    """Measure and print the rows."""
    with tempfile.TemporaryDirectory() as folder:
        where = urls or (f"sqlite:///{folder}/many.db", f"sqlite:///{folder}/bare.db")
        for url in where:
            migrate(url)
        found = measure(where, phones, rounds)
    ratio = found["put"] / found["bare"]
    print(f"listed     {found['list']:9,.0f} phones/s on the list of a broadcast to {phones:,}")
    print(f"broadcast  {found['put']:9,.0f} texts/s put in the outbox")
    print(f"bare       {found['bare']:9,.0f} of the same rows a second, inserted and nothing else")
    print(f"beside     {ratio:9.2f} of the bare insert (aim 0.3)")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.many", description=__doc__)
    parser.add_argument("--phones", type=int, default=100_000)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--urls", nargs=2, help="two empty databases, else SQLite in files")
    args = parser.parse_args()
    print_many(args.phones, args.rounds, tuple(args.urls) if args.urls else None)


if __name__ == "__main__":
    main()
