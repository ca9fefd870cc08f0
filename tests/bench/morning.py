"""The morning pass: one round of the calendar through a scheme of many plots.

``python -m tests.bench.morning [--plots N] [--store sqlite|postgresql]... [--processes N...]``
fills a store of its own, and lets so many processes go through a copy of it at once.
"""

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from gateway.cli import spare_what_is_loaded
from gateway.compose import House
from gateway.settings import Settings
from gateway.store.migrate import migrate
from gateway.trial.clock import MovedClock
from tests import postgres
from tests.bench.manyplots import MORNING, fill
from tests.databases import command

Copies = Callable[[str], str]
"""The address of a new copy of the filled store, by a name for it."""


def house_at(url: str) -> House:
    """A house on that store, at the hour of the morning's round."""
    settings = Settings(
        database_url=url,
        phone_keys="a key for tests only and thirty-two long",  # type: ignore[arg-type]
        web_secret="a secret for tests only",  # type: ignore[arg-type]
    )
    return House(settings, MovedClock(MORNING), {})


@contextmanager
def sqlite_store(plots: int, seed: int) -> Iterator[Copies]:
    """A filled store in a file."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        _filled(f"sqlite:///{place / 'full'}", plots, seed)
        yield lambda name: f"sqlite:///{shutil.copy(place / 'full', place / name)}"


@contextmanager
def postgres_store(plots: int, seed: int) -> Iterator[Copies]:
    """A filled store on a server of its own, which does not wait for the disc."""
    with postgres.running() as address:
        server = address.format("postgres")

        def made(name: str, like: str) -> str:
            command(server, f"CREATE DATABASE {name} TEMPLATE {like}")
            return address.format(name)

        full = made("filled", "template0")
        _filled(full, plots, seed)
        command(full, "ANALYZE")  # as the server itself does, some minutes after so many rows
        yield lambda name: made(name, "filled")


STORES = {"sqlite": sqlite_store, "postgresql": postgres_store}


def _filled(url: str, plots: int, seed: int) -> None:
    migrate(url)
    house = house_at(url)
    fill(house.store, plots, seed)
    house.store.close()


# -- a process that goes through it ---------------------------------------------------------------


def go_through(url: str) -> None:
    """Wait for a line, owe all that is due, and print what it took as a JSON line."""
    house = house_at(url)
    assert house.papers
    spare_what_is_loaded()  # as the serving process does
    print("ready", flush=True)
    sys.stdin.readline()
    began = time.process_time()
    put = house.owe()
    busy = time.process_time() - began
    house.store.close()
    print(json.dumps({"put": put, "busy": busy, "memory": most_memory()}), flush=True)


def most_memory() -> float:
    """The most memory that this process ever held, in MB: of its own, not of who began it."""
    status = Path("/proc/self/status").read_text("ascii")
    (line,) = (line for line in status.splitlines() if line.startswith("VmHWM:"))
    return int(line.split()[1]) / 1024


def morning(url: str, processes: int) -> dict[str, float]:
    """Seconds from start to the last one's end, seconds of work, texts, and the most memory."""
    ran = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.bench.morning", "--through", url],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(processes)
    ]
    for each in ran:
        assert each.stdout
        assert each.stdout.readline() == "ready\n"
    began = time.perf_counter()
    for each in ran:
        assert each.stdin
        each.stdin.write("go\n")
        each.stdin.flush()
    found = [json.loads(each.communicate()[0]) for each in ran]
    took = time.perf_counter() - began
    return {
        "seconds": took,
        "busy": sum(each["busy"] for each in found),
        "put": sum(each["put"] for each in found),
        "memory": max(each["memory"] for each in found),
    }


def print_morning(store: str, plots: int, seed: int, processes: list[int]) -> None:
    """Measure and print a line for each number of processes."""
    with STORES[store](plots, seed) as copies:
        for number in processes:
            found = morning(copies(f"copy{number}"), number)
            print(
                f"morning    {found['seconds']:9.1f} s on {store}, processes {number}, "
                f"{plots:,} plots ({found['busy']:.1f} s of work, {found['put']:,.0f} texts, "
                f"{found['memory']:.0f} MB at most); aims: 60 s for 100,000 on sqlite, 600 MB",
                flush=True,
            )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.morning", description=__doc__)
    parser.add_argument("--plots", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--store", choices=STORES, action="append")
    parser.add_argument("--processes", type=int, nargs="+", default=[1])
    parser.add_argument("--through", metavar="URL", help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.through:
        go_through(args.through)
        return
    for store in args.store or ["sqlite"]:
        print_morning(store, args.plots, args.seed, args.processes)


if __name__ == "__main__":
    main()
