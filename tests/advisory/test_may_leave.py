"""May this text go to this phone now? Consent, the quiet hours, and the most in a week."""

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from gateway.advisory.number import Number
from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.compose import House
from gateway.store.outbox import SqlOutbox
from tests.houses import READER, ZONE, TestHouse, open_test_house

DAY = timedelta(days=1)


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A house whose plot is not in season, so that the calendar says nothing of its own."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER, planted_days_ago=-60)
    yield opened
    opened.close()


def put(home: TestHouse, many: int = 1, **changes: object) -> list[int]:
    """So many texts that the office starts, due now and valid for a month."""
    now, found = home.clock.now(), []
    with home.house.store.begin() as unit:
        for number in range(many):
            values = {
                "scheme_id": home.scheme_id,
                "phone_id": home.phones[READER].id,
                "carrier": "simulator",
                "text": f"H07: text {number}",
                "language": "en",
                "kind": "duty",
                "not_before": now,
                "valid_until": now + timedelta(days=30),
            } | changes
            found.append(unit.outbox.put(NewParcel(**values), now))  # type: ignore[arg-type]
        unit.commit()
    return [number for number in found if number is not None]


def states(home: TestHouse, numbers: list[int]) -> Counter[str]:
    with home.house.store.begin(write=False) as unit:
        return Counter(str(unit.outbox.get(number).state) for number in numbers)


def sent(home: TestHouse, numbers: list[int]) -> int:
    return len(numbers) - sum(states(home, numbers)[s] for s in ("waiting", "held", "withdrawn"))


def test_of_many_reminders_five_leave_in_a_week_and_the_rest_later(home: TestHouse) -> None:
    numbers = put(home, 8)
    home.settle()
    assert sent(home, numbers) == 5
    home.clock.move(6 * DAY)
    home.settle()
    assert sent(home, numbers) == 5
    home.clock.move(DAY)
    home.settle()
    assert sent(home, numbers) == 8


def test_two_processes_that_send_to_one_phone_at_once_keep_to_its_week_together(
    home: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = put(home, 4)
    home.settle()
    numbers = put(home, 2)
    both, usual = threading.Barrier(2), SqlOutbox.week_of

    def week_of(self: SqlOutbox, parcel: Parcel, since: datetime):  # type: ignore[no-untyped-def]
        with suppress(threading.BrokenBarrierError):  # who must wait for the other never comes
            both.wait(timeout=1)
        return usual(self, parcel, since)

    monkeypatch.setattr(SqlOutbox, "week_of", week_of)
    other = House(home.house.settings, home.clock, {})
    home.others.append(other)
    threads = [
        threading.Thread(target=replace(sender, customs=replace(sender.customs, most_at_once=1)))
        for sender in (house.dispatchers["simulator"] for house in (home.house, other))
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    home.settle()
    assert sent(home, before) == 4
    assert sent(home, numbers) == 1
    assert states(home, numbers)["held"] == 1


def test_what_the_night_held_leaves_spread_over_the_morning(home: TestHouse) -> None:
    others = [Number(f"+120255501{place}") for place in range(60, 72)]
    for place, number in enumerate(others):
        home.add_plot(f"K{place:02}", number, planted_days_ago=-60)
    home.clock.move(timedelta(hours=13))  # 22:00 in the scheme's zone
    numbers = [put(home, phone_id=home.phones[number].id)[0] for number in others]
    home.settle()
    with home.house.store.begin(write=False) as unit:
        minutes = {unit.outbox.get(number).not_before.replace(second=0) for number in numbers}
    assert len(minutes) > 6
    opens = home.house.papers.customs.next_open(home.clock.now(), ZONE)
    assert all(opens <= at <= opens + timedelta(minutes=30) for at in minutes)


def test_crop_safety_is_neither_held_nor_counted(home: TestHouse) -> None:
    safe = put(home, 6, safety=True)
    home.settle()
    usual = put(home, 5)
    home.settle()
    more = put(home, 2, safety=True)
    home.settle()
    assert sent(home, safe + usual + more) == 13


def test_the_answers_to_a_growers_own_texts_are_neither_held_nor_counted(home: TestHouse) -> None:
    usual = put(home, 5)
    home.settle()
    assert sent(home, usual) == 5
    assert home.text(READER, "H07 HELP")
    assert home.text(READER, "H07 HELP")


def test_two_paid_answers_are_asked_for_in_a_week(home: TestHouse) -> None:
    pays = frozenset({"simulator"})
    home.house.may_leave = replace(home.house.may_leave, grower_pays=pays)
    asking, telling = put(home, 4, asks=True), put(home, 3)
    home.settle()
    assert sent(home, asking) == 2
    assert sent(home, telling) == 3


def test_answers_that_the_office_pays_for_are_asked_for_as_often_as_the_week_allows(
    home: TestHouse,
) -> None:
    asking = put(home, 4, asks=True)
    home.settle()
    assert sent(home, asking) == 4


def test_a_text_that_finds_no_room_while_it_is_valid_is_never_sent(home: TestHouse) -> None:
    numbers = put(home, 6, valid_until=home.clock.now() + 2 * DAY)
    home.settle()
    home.clock.move(3 * DAY)
    home.settle()
    assert sent(home, numbers) == 6  # the last one by its end
    assert states(home, numbers)["expired"] == 1


def test_another_phone_has_a_week_of_its_own(home: TestHouse) -> None:
    put(home, 5)
    home.settle()
    home.add_plot("K12", other := READER.__class__("+12025550188"), planted_days_ago=-60)
    numbers = put(home, 5, phone_id=home.phones[other].id)
    home.settle()
    assert sent(home, numbers) == 5


def test_a_text_that_became_forbidden_between_putting_and_sending_says_why(
    home: TestHouse,
) -> None:
    (number,) = put(home)
    home.clock.move(timedelta(hours=13))  # 22:00 in the scheme's zone
    home.settle()
    with home.house.store.begin(write=False) as unit:
        held = unit.outbox.get(number)
    assert held.state is State.HELD
    assert (held.not_before - home.clock.now()) < timedelta(hours=8)
