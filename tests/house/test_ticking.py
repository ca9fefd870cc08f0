"""Several processes tick one calendar, as they are shipped; some are killed in the middle.

Every text is told apart by the number of its row, which the operator sees, so that lost, doubled
and in doubt are counted apart.
"""

import json
import os
import signal
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import func, select

from gateway.advisory.number import Number
from gateway.store.tables.office import duty, round_part
from gateway.store.tables.traffic import outbox
from tests.calendars import calendar_of
from tests.house.serving import flows_with_operator, serving, settings, wait_for
from tests.houses import TestHouse, open_test_house
from tests.peers.operator_http import Operator, answering

OPENS = 62
"""Days after planting: tomorrow the flowering window of a plot of the tests opens."""
PATIENCE_S = 150


@dataclass
class Many:
    """Plots that are all owed one text each, on the real clock's day, and an operator for them."""

    home: TestHouse
    operator: Operator
    environment: dict[str, str]
    plots: int
    folder: Path

    def serve(self, number: int):  # type: ignore[no-untyped-def]
        """One more process on the store."""
        return serving(self.environment, self.folder / f"log-{number}")

    def seen(self) -> Counter[str]:
        """How often the operator was handed each row of the outbox."""
        return Counter(json.loads(one.body)["our_id"] for one in list(self.operator.seen))

    def told(self) -> Counter[str]:
        """How many texts each phone was handed."""
        return Counter(json.loads(one.body)["to"] for one in list(self.operator.seen))

    def states(self) -> Counter[str]:
        """The texts by state."""
        asked = select(outbox.c.state, func.count().label("many")).group_by(outbox.c.state)
        with self.home.house.store.begin_work(False) as work:
            return Counter({row.state: row.many for row in work.rows(asked)})

    def owed(self) -> int:
        """How many duties are on record."""
        with self.home.house.store.begin_work(False) as work:
            return work.number(select(func.count()).select_from(duty))

    def half_done(self) -> bool:
        """Whether some process holds a part of the round that is not done."""
        held = round_part.c.lease_until.is_not(None) & round_part.c.done_at.is_(None)
        with self.home.house.store.begin_work(False) as work:
            return work.number(select(func.count()).where(held)) > 0

    def all_handed_over(self) -> bool:
        """Whether nothing is on its way any more."""
        return self.owed() == self.plots and not set(self.states()) & {"waiting", "claimed"}


def flows_of(tmp_path: Path, operator: Operator) -> Path:
    """No quiet hours, the duty from midnight on, and short leases, so that no test waits long."""
    flows = flows_with_operator(tmp_path, operator.url)
    calendar_of(tmp_path, "flowering-begins", rounds=["00:00"], part_lease_seconds=4)
    for file, old, new in (
        ("calendar.yaml", "hour: 06:00", "hour: 00:00"),
        ("office.yaml", 'from: "20:00", to: "05:30"', 'from: "03:00", to: "03:00"'),
        ("office.yaml", "lease_seconds: 60", "lease_seconds: 5"),
    ):
        text = (flows / file).read_text("utf-8")
        edited = text.replace(old, new).replace("hour: '06:00'", "hour: '00:00'")
        assert edited != text, old
        (flows / file).write_text(edited, "utf-8")
    return flows


@pytest.fixture
def many(database_url: str, tmp_path: Path) -> Iterator[Many]:
    """Sixty plots, each with a phone of its own."""
    home = open_test_house(database_url)
    home.clock.move_to(datetime.now(UTC))
    for number in range(60):
        phone = Number(f"+1{202 + number // 50}55501{number % 50:02}")
        home.add_plot(f"K{number:03}", phone, planted_days_ago=OPENS)
    with Operator() as operator:
        operator.behaviour = answering(202, {"message": {"id": "op-1", "state": "queued"}})
        environment = settings(
            database_url,
            GATEWAY_FLOWS=str(flows_of(tmp_path, operator)),
            GATEWAY_CARRIERS="example-http",
            PYTHONPATH=os.environ.get("PYTHONPATH", ""),
        )
        yield Many(home, operator, environment, 60, tmp_path)
    home.close()


@pytest.mark.parametrize("processes", [2, 4])
def test_processes_that_tick_together_owe_and_send_each_text_once(
    many: Many, processes: int
) -> None:
    with ExitStack() as running:
        for number in range(processes):
            running.enter_context(many.serve(number))
        wait_for(many.all_handed_over, PATIENCE_S)
    assert many.owed() == 60
    assert many.states() == {"handed over": 60}
    assert set(many.seen().values()) == {1}
    assert set(many.told().values()) == {1}
    assert len(many.told()) == 60


def test_a_process_killed_while_it_sends_loses_nothing_and_doubles_only_what_is_in_doubt(
    many: Many,
) -> None:
    with many.serve(0) as first:
        wait_for(lambda: len(many.operator.seen) >= 5, PATIENCE_S)
        first.process.send_signal(signal.SIGKILL)
        first.process.wait()
    with many.serve(1):
        wait_for(many.all_handed_over, PATIENCE_S)
    states = many.states()
    in_doubt = states["in doubt"]
    assert many.owed() == 60
    assert len(many.told()) == 60, "lost"
    assert set(many.seen().values()) == {1}, "no row is ever handed over twice"
    doubled = sum(count - 1 for count in many.told().values())
    assert doubled <= in_doubt, "only what was in doubt went once more, for it is crop safety"
    assert states["handed over"] == 60
    assert in_doubt <= 20, "no more than were claimed at once"


def test_a_process_killed_in_the_middle_of_a_round_leaves_it_to_the_next(many: Many) -> None:
    with many.serve(0) as first:
        wait_for(lambda: many.half_done() or many.owed(), PATIENCE_S)
        first.process.send_signal(signal.SIGKILL)
        first.process.wait()
    assert many.owed() in (0, 60), "a part is owed in whole or not at all"
    with many.serve(1):
        wait_for(many.all_handed_over, PATIENCE_S)
    assert many.owed() == 60
    assert len(many.told()) == 60
    assert set(many.seen().values()) == {1}
