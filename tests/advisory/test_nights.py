"""Nights in which something fails: the carrier is down till the morning, or the clocks change.

Two houses tick on one store. Owed, sent, expired (its day was over before it could be sent), lost
(owed and none of these), doubled and in doubt are counted apart.
"""

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import func, select

from gateway.advisory.dispatch import Dispatch
from gateway.advisory.number import Number
from gateway.compose import House
from gateway.store import rounds
from gateway.store.tables.office import duty
from gateway.store.tables.traffic import outbox
from gateway.trial.clock import MovedClock
from gateway.trial.rehearsal import Watched
from tests.calendars import calendar_of
from tests.houses import TestHouse, open_test_house

PLOTS = 12
OPENS = 62
"""Days after planting: on the next day the flowering window of a plot of the tests opens."""
STEP = timedelta(minutes=30)
NIGHT = timedelta(hours=13)


@dataclass
class Night:
    """Twelve plots, each with a phone of its own, that are all owed one text in the morning."""

    home: TestHouse
    zone: ZoneInfo
    senders: list[tuple[House, Dispatch, Watched]] = field(default_factory=list)

    def live(self, span: timedelta) -> None:
        """Let both houses tick every half hour for so long."""
        ends = self.home.clock.now() + span
        while self.home.clock.now() < ends:
            for house, send, _ in self.senders:
                house.owe()
                send()
                house.simulators["simulator"].pump(house.clock.now())
            self.home.clock.move(STEP)

    def link(self, down: bool) -> None:
        """Cut the link to the operator, or mend it."""
        for house, _, _ in self.senders:
            house.simulators["simulator"].behave(link_down=down)

    def told(self) -> list[tuple[datetime, Number, str]]:
        """When each text arrived at a phone, in the scheme's zone."""
        return [
            (shown.at.astimezone(self.zone), number, shown.text)
            for house in (self.home.house, *self.home.others)
            for number in self.home.phones
            for shown in house.simulators["simulator"].inbox(number)
        ]

    def counts(self) -> dict[str, int]:
        """Owed, sent, expired, lost, doubled, in doubt."""
        with self.home.house.store.begin_work(write=False) as work:
            owed = work.number(select(func.count()).select_from(duty))
            asked = select(outbox.c.state, func.count().label("many")).group_by(outbox.c.state)
            states = Counter({row.state: row.many for row in work.rows(asked)})
        each = Counter(number for _, number, _ in self.told())
        doubt = states["in doubt"]
        return {
            "owed": owed,
            "sent": len(each),
            "expired": states["expired"],
            "lost": owed - len(each) - states["expired"] - doubt,
            "doubled": sum(each.values()) - len(each),
            "in doubt": doubt,
        }


ALL_ARRIVED = {"owed": PLOTS, "sent": PLOTS, "expired": 0, "lost": 0, "doubled": 0, "in doubt": 0}


@contextmanager
def a_night(url: str, flows: Path, zone: str, begins: str, planted: int) -> Iterator[Night]:
    home = open_test_house(url, flows, zone)
    home.clock.move_to(datetime.fromisoformat(begins).replace(tzinfo=UTC))
    for place in range(PLOTS):
        number = Number(f"+120255501{place:02}")
        home.add_plot(f"K{place:02}", number, planted_days_ago=planted)
    other = House(home.house.settings, home.clock, {})
    home.others.append(other)
    night = Night(home, ZoneInfo(zone))
    for house in (home.house, other):
        watched = Watched(house.simulators["simulator"], home.clock)
        send = replace(house.dispatchers["simulator"], carrier=watched)
        night.senders.append((house, send, watched))
    yield night
    home.close()


@pytest.mark.parametrize(
    ("duties", "planted", "counts"),
    [
        pytest.param(["flowering-begins"], OPENS - 1, ALL_ARRIVED, id="valid for days"),
        pytest.param(
            ["reading-due", "reading-missed"],
            35,
            ALL_ARRIVED | {"owed": 2 * PLOTS, "expired": PLOTS},
            id="of one day: that of the evening is never sent, the next one asks again",
        ),
    ],
)
def test_a_carrier_that_was_down_overnight_gets_every_text_once_in_the_morning(
    database_url: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    duties: list[str],
    planted: int,
    counts: dict[str, int],
) -> None:
    monkeypatch.setattr(rounds, "PART", 5)
    flows = calendar_of(tmp_path, *duties, spread=60)
    # From 18:00 of Tuesday in the zone.
    with a_night(database_url, flows, "Asia/Manila", "2026-03-10T10:00", planted) as night:
        night.link(down=True)
        night.live(NIGHT)  # to 07:00 of Wednesday
        assert night.told() == []
        night.link(down=False)
        night.live(timedelta(hours=3))
        assert night.counts() == counts
        assert {at.hour for at, _, _ in night.told()} <= {7, 8, 9}
        assert all("Tue 10 Mar" not in text for _, _, text in night.told())


@pytest.mark.parametrize(
    "begins",
    ["2026-03-28T17:00", "2026-10-24T16:00"],
    ids=["an hour is lost", "an hour comes twice"],
)
def test_in_a_night_in_which_the_clocks_change_each_text_leaves_once_after_the_quiet(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, begins: str
) -> None:
    monkeypatch.setattr(rounds, "PART", 5)
    flows = calendar_of(tmp_path, "flowering-begins", spread=60)
    with a_night(database_url, flows, "Europe/Rome", begins, OPENS - 1) as night:
        night.live(timedelta(hours=16))
        assert night.counts() == ALL_ARRIVED
        assert {at.hour for at, _, _ in night.told()} <= {6, 7}


def test_a_clock_two_days_ahead_and_set_right_again_owes_and_sends_each_text_once(
    database_url: str, tmp_path: Path
) -> None:
    flows = calendar_of(tmp_path, "flowering-begins", spread=60)
    with a_night(database_url, flows, "Asia/Manila", "2026-03-10T22:00", OPENS - 1) as night:
        right, wrong = night.senders
        ahead = MovedClock(night.home.clock.now() + timedelta(days=2))
        house = House(night.home.house.settings, ahead, {})
        night.home.others.append(house)
        night.senders = [(house, house.dispatchers["simulator"], wrong[2])]
        for _ in range(6):
            night.live(STEP)
            ahead.move(STEP)
        assert night.counts() == ALL_ARRIVED
        night.senders = [right]
        night.live(timedelta(days=2))
        assert night.counts() == ALL_ARRIVED
