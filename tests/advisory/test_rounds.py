"""Rounds through all plots, shared by any number of processes, and what is stirred in between."""

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from gateway.advisory.owe import round_before
from gateway.advisory.parcels import Parcel
from gateway.compose import House
from gateway.store import rounds
from gateway.store.books import SqlBooks
from gateway.store.outbox import SqlOutbox
from gateway.trial.clock import MovedClock
from tests.calendars import calendar_of
from tests.houses import READER, ZONE, TestHouse, open_test_house

OPENS = 62
"""Days after planting: tomorrow the flowering window of a plot of the tests opens."""


@pytest.fixture
def home(database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestHouse]:
    """Twelve plots of which the window opens tomorrow, in rounds of parts of three."""
    monkeypatch.setattr(rounds, "PART", 3)
    opened = open_test_house(database_url, calendar_of(tmp_path, "flowering-begins"))
    for number in range(12):
        opened.add_plot(f"K{number:02}", READER, planted_days_ago=OPENS)
    yield opened
    opened.close()


def another(home: TestHouse, clock: MovedClock | None = None) -> House:
    """A second process on the same store, as it were."""
    house = House(home.house.settings, clock or home.clock, {})
    home.others.append(house)
    return house


def owed(home: TestHouse) -> Counter[str]:
    """How often each duty was owed, and how many texts of it there are."""
    with home.house.store.begin(write=False) as unit:
        counts = unit.duties.counts(home.scheme_id, datetime(2000, 1, 1, tzinfo=UTC))
    return Counter(counts)


def test_a_round_goes_through_every_part_once(home: TestHouse) -> None:
    steps = []
    while (put := home.house.owe.step()) is not None:
        steps.append(put)
    assert sum(steps) == 12
    assert len(steps) >= 4
    assert home.house.owe.step() is None
    assert owed(home)["flowering-begins"] == 12


def test_two_who_tick_share_the_parts_and_owe_each_duty_once(home: TestHouse) -> None:
    other = another(home)
    put = [0, 0]
    for _ in range(4):
        put[0] += home.house.owe.step() or 0
        put[1] += other.owe.step() or 0
    assert put == [6, 6]
    assert owed(home)["flowering-begins"] == 12


def test_plots_of_one_phone_in_two_parts_are_all_told_of_when_both_are_put_at_once(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rounds, "PART", 3)
    home = open_test_house(database_url, calendar_of(tmp_path, "reading-due"))
    codes = [f"K{number:02}" for number in range(6)]
    plots = [home.add_plot(code, READER) for code in codes]
    both, usual = threading.Barrier(2), SqlOutbox.of_keys

    def of_keys(self: SqlOutbox, scheme_id: int, keys: list[str]) -> dict[str, Parcel]:
        found = usual(self, scheme_id, keys)
        with suppress(threading.BrokenBarrierError):  # SQLite lets in one writer at a time
            both.wait(timeout=1)
        return found

    monkeypatch.setattr(SqlOutbox, "of_keys", of_keys)
    threads = [threading.Thread(target=house.owe) for house in (home.house, another(home))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with home.house.store.begin(write=False) as unit:
        cases = unit.books.cases(plots, home.clock.now())
        rows = unit.duties.owed([case.season_id or 0 for case in cases])
        texts = [text for row in rows for text in unit.duties.texts(row.id)]
    home.close()
    assert len(rows) == len(texts) == len(codes)
    (text,) = {text.text for text in texts}
    assert all(code in text for code in codes)


def test_a_part_that_was_left_half_done_is_taken_over_when_its_lease_ends(
    home: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Killed(BaseException):
        pass

    def die(*_: object) -> None:
        raise Killed

    monkeypatch.setattr("gateway.advisory.owed.Owing.take", die)
    with pytest.raises(Killed):
        home.house.owe.step()
    monkeypatch.undo()
    monkeypatch.setattr(rounds, "PART", 3)
    other = another(home)
    other.owe()
    assert owed(home)["flowering-begins"] < 12
    home.clock.move(home.house.papers.duties.part_lease)
    other.owe()
    assert owed(home)["flowering-begins"] == 12


def test_between_rounds_only_what_was_stirred_is_looked_at(
    home: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    home.house.owe()
    looked: list[int] = []
    usual = SqlBooks.cases

    def noted(self: SqlBooks, plots: list[int], as_of: datetime):  # type: ignore[no-untyped-def]
        looked.extend(plots)
        return usual(self, plots, as_of)

    monkeypatch.setattr(SqlBooks, "cases", noted)
    home.house.owe()
    assert looked == []
    plot_id = home.add_plot("L01", READER, planted_days_ago=OPENS)
    assert home.house.owe() == 1
    assert plot_id in looked
    looked.clear()
    home.house.owe()
    assert looked == []


def test_after_days_of_downtime_what_is_still_valid_is_owed_and_nothing_stale(
    home: TestHouse,
) -> None:
    home.clock.move(timedelta(days=2))
    assert home.house.owe() == 12
    home.clock.move(timedelta(days=4))
    home.add_plot("L01", READER, planted_days_ago=OPENS + 6)
    assert home.house.owe() == 0


def test_a_clock_set_back_two_days_owes_nothing_twice(home: TestHouse) -> None:
    home.house.owe()
    home.settle()
    home.clock.move(timedelta(days=2))
    home.house.owe()
    home.settle()
    back = MovedClock(home.clock.now() - timedelta(days=2))
    other = another(home, back)
    for _ in range(5):
        other.owe()
        back.move(timedelta(hours=12))
    assert owed(home)["flowering-begins"] == 12


@pytest.mark.parametrize(
    ("utc", "begun"),
    [
        # Europe/Rome: 2026-03-29 02:00 becomes 03:00, 2026-10-25 03:00 becomes 02:00.
        ("2026-03-29T00:59", "2026-03-28T23:30"),
        ("2026-03-29T02:29", "2026-03-28T23:30"),
        ("2026-03-29T02:31", "2026-03-29T02:30"),
        ("2026-10-25T00:30", "2026-10-24T22:30"),
        ("2026-10-25T03:29", "2026-10-24T22:30"),
        ("2026-10-25T03:31", "2026-10-25T03:30"),
    ],
)
def test_rounds_keep_their_clock_time_when_the_clocks_change(
    home: TestHouse, utc: str, begun: str
) -> None:
    now = datetime.fromisoformat(utc).replace(tzinfo=UTC)
    at = round_before(now, "Europe/Rome", home.house.papers)
    assert at == datetime.fromisoformat(begun).replace(tzinfo=UTC)


def test_a_round_is_done_at_its_hour_and_not_again(home: TestHouse) -> None:
    first = round_before(home.clock.now(), ZONE, home.house.papers)
    assert first == datetime(2026, 3, 9, 20, 30, tzinfo=UTC)  # 04:30 there
    home.house.owe()
    home.clock.move(timedelta(hours=3))  # 12:00
    assert round_before(home.clock.now(), ZONE, home.house.papers) > first
