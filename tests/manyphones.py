"""Broadcasts for tests: what an officer writes, who does, and what became of the texts."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta

from gateway.advisory.broadcasts import Audience, NewBroadcast, Wording
from gateway.advisory.enrol import add_office_user
from gateway.advisory.number import Number
from gateway.advisory.records import OfficeUser
from gateway.compose import House
from tests.houses import TestHouse

PASSWORD = "a password for tests"
READ = dict.fromkeys(("en", "id", "hi", "fr", "vi"), "N. Neighbour")
OWN = Wording(own={"en": "{scheme}: the office is shut on Friday. Text HELP"}, read_by=READ)


def number(place: int) -> Number:
    """A number of the range kept for fiction, one for each place."""
    return Number(f"+1{202 + place // 100:03}55501{place % 100:02}")


def officers(home: TestHouse) -> tuple[OfficeUser, OfficeUser]:
    """Two who may sign in."""
    added = [
        add_office_user(home.house.store, home.clock, home.scheme_id, name, "officer", PASSWORD)
        for name in ("maro", "sela")
    ]
    return added[0], added[1]


def written(home: TestHouse, audience: Audience | None = None, **changes: object) -> NewBroadcast:
    """A text to everybody, to leave now."""
    usual = NewBroadcast("Office shut", audience or Audience(), OWN, home.clock.now())
    return replace(usual, **changes)  # type: ignore[arg-type]


def write(home: TestHouse, user: OfficeUser, new: NewBroadcast) -> int:
    return home.house.broadcasting.write(home.house.scheme, user, new)


def release(home: TestHouse, user: OfficeUser, broadcast_id: int) -> None:
    with home.house.store.begin(write=False) as unit:
        seen = unit.broadcasts.get(home.scheme_id, broadcast_id).written_at
    home.house.broadcasting.release(home.house.scheme, user, broadcast_id, seen)


def states(home: TestHouse, broadcast_id: int) -> Counter[str]:
    views = home.house.store.broadcast_views
    return Counter(views.states(home.scheme_id, broadcast_id))


def plots_listed(home: TestHouse, broadcast_id: int) -> list[str]:
    lines, _ = home.house.store.broadcast_views.listed(home.scheme_id, broadcast_id, 1, 1000)
    return sorted(code for line in lines for code in line.plots)


def run(house: House, home: TestHouse, times: int = 8) -> None:
    """Put and send for a while; whatever is spread over half an hour has its time."""
    house.put_broadcasts()
    for _ in range(times):
        home.clock.move(timedelta(minutes=8))
        house.dispatchers["simulator"]()
        house.simulators["simulator"].pump(home.clock.now())


def topic_count(home: TestHouse, broadcast_id: int) -> int:
    return sum(states(home, broadcast_id).values())
