"""The water model: one more reading, advice from a book of 20, and a crowd of plots."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from statistics import median

from gateway.agronomy.case import Case
from gateway.agronomy.clouds import MEMORY
from gateway.agronomy.drydown import estimate
from gateway.agronomy.footing import footing_of
from gateway.agronomy.judge import judge, judge_and_learn
from gateway.agronomy.learning import learned
from gateway.agronomy.posterior import LATEST
from gateway.agronomy.stages import Calendar, calendar_of
from gateway.flowfiles.rules import load_rulebook
from gateway.lines.cases import case_from_json
from gateway.settings import shipped
from tests.sim.dryspell import THRESHOLD, case_of
from tests.sim.truth import trials

READINGS, EVERY = 20, 3
PLOTS, SEED = 60, 9


def plot_figures() -> dict[str, float]:
    """Seconds for one plot: medians over invented plots whose books hold 20 readings.

    ``kept`` is asked as a server asks that has just been started: it remembers nothing, but what
    finished dry-downs taught is in the store. ``cold`` reckons all of it from the readings.
    """
    book = load_rulebook(shipped("flows"))
    practice = book.practice_of(None)
    cases = [case_from_json(line, book) for line in books()]

    def grown(case: Case) -> Calendar:
        assert case.season is not None
        return calendar_of(case.season, practice, case.events, case.as_of, case.plot.soil)

    def update(case: Case) -> object:
        footing = footing_of(case, grown(case), practice)
        return footing.cloud()

    def forecast(case: Case) -> object:
        return estimate(case, grown(case), practice, THRESHOLD)

    def advise(case: Case) -> object:
        return judge(case, book)

    found = {}
    for name, ask in {"update": update, "estimate": forecast, "judge": advise}.items():
        forget()
        timed([without_last(case) for case in cases], ask)
        found[name] = timed(cases, ask)
    kept = [replace(case, kept=judge_and_learn(case, book).posterior) for case in cases]
    for name, those in {"kept": kept, "cold": cases}.items():
        forget()
        found[name] = timed(those, advise)
    return found


def books() -> Iterable[str]:
    """Cases with 20 readings, read every third day and flooded at the threshold."""
    for plot in trials(PLOTS, 0.0, seed=SEED):
        count, due = 0, EVERY
        while count < READINGS:
            plot.pass_day()
            if plot.day < due:
                continue
            level, count, due = plot.read(), count + 1, plot.day + EVERY
            if level <= THRESHOLD and count < READINGS:
                plot.flood()
        yield json.dumps(case_of(plot))


def without_last(case: Case) -> Case:
    """The case before its last reading was told."""
    last = max(n for n, event in enumerate(case.events) if event.kind == "reading")
    return replace(case, events=case.events[:last] + case.events[last + 1 :])


def forget() -> None:
    """Forget all that was learned."""
    MEMORY.clear()
    LATEST.clear()
    learned.cache_clear()


def timed(cases: Iterable[Case], ask: Callable[[Case], object]) -> float:
    """The median seconds of a question."""
    took = []
    for case in cases:
        began = time.process_time()
        ask(case)
        took.append(time.process_time() - began)
    return median(took)


def crowd_figures(plots: int) -> dict[str, float]:
    """Plots a second, learned together and one by one, and the most memory in MB."""
    command = (sys.executable, "-m", "tests.bench.crowd", str(plots))
    process = subprocess.Popen(command, stdout=subprocess.PIPE)
    assert process.stdout
    found: dict[str, float] = json.loads(process.stdout.readline())
    process.stdout.close()
    _pid, _status, usage = os.wait4(process.pid, 0)
    process.returncode = 0
    return found | {"memory": usage.ru_maxrss / 1024}
