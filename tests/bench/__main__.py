"""Prints the figures. Aims: 20,000 plain readings a second on a core, 0.35 of the floor, 150 MB;
0.5 ms for one more reading, 2 ms for advice from 20 readings, 3,000 plots learned a second.
"""

import argparse
import json
import os
import platform
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from statistics import median
from zoneinfo import ZoneInfo

from gateway.advisory.advise import judge_plot
from gateway.lines.advise import case_to_json
from gateway.settings import shipped
from gateway.trial.paper import TrialPaper, load_trial
from tests.bench.many import print_many
from tests.bench.pipes import COMMAND, Pipe
from tests.bench.routes import Served, callbacks
from tests.bench.water import crowd_figures, plot_figures
from tests.trial.houses import TrialHouse, lived

PHONE_KEY = "a key for tests only and thirty-two long"
TOKEN = "a token for the bench only"
HISTORY_DAYS = 21


def plain_readings(rng: Random, wanted: int) -> list[str]:
    """Texts such as most growers send, as lines for ``gateway interpret``."""
    forms = ("{p} -{n}", "{p} {n} below", "{p} +{n}", "{p} below {n}", "{p} dry", "{p} 0", "-{n}")
    lines = []
    for _ in range(wanted):
        code = f"{rng.choice('HKL')}{rng.randint(1, 20):02d}"
        text = rng.choice(forms).format(p=code, n=rng.randint(1, 19))
        lines.append(json.dumps({"text": text, "plots": [code]}))
    return lines


def cases_of(home: TrialHouse) -> list[str]:
    """The case of every plot of the trial, as lines for ``gateway advise``."""
    now, lines = home.clock.now(), []
    with home.house.store.begin(write=False) as unit:
        for code in home.paper.plots:
            plot_id = unit.schemes.plot_id(home.house.scheme.id, code)
            found, _advice = judge_plot(unit, home.house.papers, plot_id, now)
            if found.case.season is not None:
                lines.append(json.dumps(case_to_json(found.case)))
    return lines


def phones_of(home: TrialHouse) -> dict[str, str]:
    """Each plot with a crop in its field, and the number that reads it."""
    with home.house.store.begin(write=False) as unit:
        return {
            case.case.plot.code: unit.people.readers_of(case.plot_id)[0].number.reveal()
            for case in unit.books.active_cases(home.house.scheme.id, home.clock.now())
        }


def measure(args: argparse.Namespace, folder: Path) -> dict[str, float]:
    """Every figure by its name: medians over the rounds, which alternate between the parts."""
    rng, paper = Random(args.seed), load_trial(shipped("flows"))
    paper = replace(paper, history=replace(paper.history, days=HISTORY_DAYS))
    today = datetime.now(ZoneInfo(paper.scheme.zone)).date()
    home = lived(folder / "gateway.db", paper, today, args.seed)
    home.go_to(1)
    texts = plain_readings(rng, args.texts)
    cases = (cases_of(home) * args.cases)[: args.cases]
    numbers = phones_of(home)
    home.house.store.close()
    core = min(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else None
    interpret, advise = Pipe("interpret", core), Pipe("advise", core)
    floor = Served((sys.executable, "-m", "tests.bench.floor", f"sqlite:///{folder}/floor.db"), {})
    serving = Served((*COMMAND, "serve"), served_with(folder, paper))
    taken = callbacks(numbers, TOKEN, args.seed)

    def inbound() -> float:
        body, headers = next(taken)
        return serving.post("/carrier/simulator/text", body, headers)

    def one_row() -> float:
        body, headers = next(taken)
        return floor.post("/floor", body, headers)

    parts: dict[str, Callable[[], list[float]]] = {
        "interpret": lambda: [interpret.rate(texts)],
        "advise": lambda: [advise.rate(cases)],
        "floor": lambda: in_turn(one_row, args),
        "inbound": lambda: in_turn(inbound, args),
    }
    warm_up(interpret, advise, texts, cases, inbound, one_row)
    found: dict[str, list[float]] = {name: [] for name in parts}
    for _ in range(args.rounds):
        for name, part in parts.items():
            found[name] += part()
    interpret.close()
    advise.close()
    floor.stop()
    return {name: median(values) for name, values in found.items()} | {"memory": serving.stop()}


def in_turn(post: Callable[[], float], args: argparse.Namespace) -> list[float]:
    """Callbacks one after the other, with a rest in which the sending of the last reply ends.

    The rest is the same for the floor: what is timed is the way in, not the sender beside it.
    """
    found = []
    for _ in range(args.callbacks):
        found.append(post())
        time.sleep(args.rest)
    return found


def warm_up(
    interpret: Pipe,
    advise: Pipe,
    texts: list[str],
    cases: list[str],
    inbound: Callable[[], float],
    one_row: Callable[[], float],
) -> None:
    """One short run of each, not counted: the first of anything reads files."""
    interpret.rate(texts[:200])
    advise.rate(cases[:5])
    for _ in range(5):
        inbound()
        one_row()


def served_with(folder: Path, paper: TrialPaper) -> dict[str, str]:
    """The settings of ``gateway serve`` on the store of the trial."""
    return {
        "GATEWAY_DATABASE_URL": f"sqlite:///{folder}/gateway.db",
        "GATEWAY_PHONE_KEYS": PHONE_KEY,
        "GATEWAY_WEB_SECRET": "a secret for the bench only",
        "GATEWAY_SIMULATOR_TOKEN": TOKEN,
        "GATEWAY_SCHEME": paper.scheme.code,
        "GATEWAY_PORT": "0",
        "GATEWAY_LOG_LEVEL": "warning",
    }


def machine() -> str:
    """The machine in a line."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    named = next((line.split(":")[1].strip() for line in lines if "model name" in line), "")
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    cpu = named or platform.processor() or platform.machine()
    return f"{cpu}, {os.cpu_count()} cores{load}, Python {platform.python_version()}"


def print_water(plots: int) -> None:
    """Measure and print the rows of the water model."""
    one, many = plot_figures(), crowd_figures(plots)
    print(f"reading    {1000 * one['update']:9.2f} ms for one more reading (aim 0.5)")
    print(f"forecast   {1000 * one['estimate']:9.2f} ms with it, days and next look")
    print(f"book       {1000 * one['kept']:9.2f} ms for advice from 20 readings, as stored (aim 2)")
    print(f"replay     {1000 * one['cold']:9.2f} ms for it from the readings alone")
    print(f"warm       {1000 * one['judge']:9.2f} ms for advice after one more reading")
    print(f"crowd      {many['many']:9,.0f} plots/s of ten readings (aim 3,000)")
    print(f"alone      {many['many'] / many['alone']:9.2f} times as fast as one by one")
    print(f"held       {many['memory']:9.0f} MB at most, {plots:,} plots (aim under 1,000)")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--rounds", type=int, default=5, help="how often the parts take turns")
    parser.add_argument("--texts", type=int, default=20_000, help="texts a round")
    parser.add_argument("--cases", type=int, default=200, help="cases a round")
    parser.add_argument("--callbacks", type=int, default=60, help="callbacks a round")
    parser.add_argument("--rest", type=float, default=0.03, help="seconds between two callbacks")
    parser.add_argument("--plots", type=int, default=20_000, help="plots learned at once")
    parser.add_argument("--phones", type=int, default=100_000, help="phones of a broadcast")
    args = parser.parse_args()
    print(f"machine    {machine()}")
    print(f"seed {args.seed}, {args.rounds} rounds, begun {datetime.now(UTC):%Y-%m-%d %H:%M} UTC")
    with tempfile.TemporaryDirectory() as folder:
        found = measure(args, Path(folder))
    print(f"interpret  {found['interpret']:9,.0f} texts/s    (aim 20,000)")
    print(f"advise     {found['advise']:9,.0f} cases/s")
    print(f"floor      {1000 * found['floor']:9.2f} ms a row")
    print(f"inbound    {1000 * found['inbound']:9.2f} ms from callback to committed reply")
    print(f"ratio      {found['floor'] / found['inbound']:9.2f} of the floor (aim 0.35)")
    print_water(args.plots)
    print_many(args.phones, 1)
    print(f"memory     {found['memory']:9.0f} MB at most, serving (aim under 150)")


if __name__ == "__main__":
    main()
