"""A broadcast under faults, by processes as they are shipped: two at once, and killed in between.

Texts are counted by what the operator was handed and by what the store says of them: owed, sent,
lost (never handed over and not in doubt), doubled, in doubt.
"""

import json
import os
import signal
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.house.serving import flows_with_operator, serving, settings, wait_for
from tests.houses import TestHouse, open_test_house
from tests.manyphones import number, officers, release, states, write, written
from tests.peers.operator_http import Operator, answering

PHONES = 60
PATIENCE_S = 100
OPEN = {"waiting", "held", "claimed"}


@dataclass
class Spread:
    """A broadcast to sixty phones, released, and the operator that it goes to."""

    home: TestHouse
    operator: Operator
    environment: dict[str, str]
    folder: Path
    broadcast_id: int

    def serve(self, number: int):  # type: ignore[no-untyped-def]
        """One more process on the store."""
        return serving(self.environment, self.folder / f"log-{number}")

    def told(self) -> Counter[str]:
        """How many texts each phone was handed."""
        return Counter(json.loads(one.body)["to"] for one in list(self.operator.seen))

    def states(self) -> Counter[str]:
        return states(self.home, self.broadcast_id)

    def put(self) -> int:
        return sum(self.states().values())

    def is_over(self) -> bool:
        """Whether every text was put and none is on its way."""
        return self.put() == PHONES and not set(self.states()) & OPEN


@pytest.fixture
def spread(database_url: str, tmp_path: Path) -> Iterator[Spread]:
    """Put by fives, sent by fours, with leases of five seconds and no quiet hours."""
    home = open_test_house(database_url)
    home.clock.move_to(datetime.now(UTC))
    for place in range(PHONES):
        home.add_plot(f"K{place:02}", number(place), planted_days_ago=-60)
    with Operator() as operator:
        operator.behaviour = answering(202, {"message": {"id": "op-1", "state": "queued"}})
        flows = flows_with_operator(tmp_path, operator.url)
        for file, old, new in (
            ("broadcasts.yaml", "spread_minutes: 30", "spread_minutes: 0"),
            ("broadcasts.yaml", "batch: 2000", "batch: 5"),
            ("office.yaml", 'from: "20:00", to: "05:30"', 'from: "03:00", to: "03:00"'),
            ("office.yaml", "lease_seconds: 60", "lease_seconds: 5"),
            ("office.yaml", "most_at_once: 20", "most_at_once: 4"),
        ):
            text = (flows / file).read_text("utf-8")
            assert old in text, old
            (flows / file).write_text(text.replace(old, new), "utf-8")
        environment = settings(
            database_url,
            GATEWAY_FLOWS=str(flows),
            GATEWAY_CARRIERS="example-http",
            PYTHONPATH=os.environ.get("PYTHONPATH", ""),
        )
        user, _ = officers(home)
        made = write(home, user, written(home))
        release(home, user, made)
        yield Spread(home, operator, environment, tmp_path, made)
    home.close()


def test_two_processes_put_and_send_each_text_once(spread: Spread) -> None:
    with ExitStack() as running:
        for place in range(2):
            running.enter_context(spread.serve(place))
        wait_for(spread.is_over, PATIENCE_S)
    assert spread.states() == {"handed over": PHONES}
    assert len(spread.told()) == PHONES
    assert set(spread.told().values()) == {1}


@pytest.mark.parametrize(
    "moment",
    [lambda spread: spread.put() >= 5, lambda spread: len(spread.operator.seen) >= 5],
    ids=["while it is put", "while it is sent"],
)
def test_killed_in_the_middle_it_loses_none_and_doubles_none(
    spread: Spread, moment: Callable[[Spread], bool]
) -> None:
    with spread.serve(0) as first:
        wait_for(lambda: moment(spread), PATIENCE_S)
        first.process.send_signal(signal.SIGKILL)
        first.process.wait()
    with spread.serve(1):
        wait_for(spread.is_over, PATIENCE_S)
    found, told = spread.states(), spread.told()
    sent, in_doubt = found["handed over"], found["in doubt"]
    print(f"owed {PHONES}, sent {sent}, lost {PHONES - sent - in_doubt}, in doubt {in_doubt}")
    assert sent + in_doubt == PHONES, "lost"
    assert set(told.values()) == {1}, "doubled"
    assert sent <= len(told) <= PHONES
