"""What dry-downs teach is kept with their season, replayed alike, and carried to the next."""

from datetime import timedelta

from sqlalchemy import delete, select, update

from gateway.advisory.records import AdviceRecord
from gateway.agronomy.case import WeatherDay
from gateway.agronomy.season import Season
from gateway.store.tables.crop import posterior
from tests.houses import READER, TestHouse

DRY_DOWN = ("FLOODED 5", "3 above", "2 below", "9 below", "16 below")


def live(home: TestHouse, texts: tuple[str, ...], every: int = 2) -> None:
    """One text every so many days, with plain weather on all of them."""
    for body in texts:
        tell_sky(home)
        home.text(READER, f"H07 {body}")
        home.clock.move(timedelta(days=every))


def tell_sky(home: TestHouse) -> None:
    days = [WeatherDay(home.today + timedelta(days=n), 5.0, 0.0) for n in range(-2, 9)]
    with home.house.store.begin() as unit:
        unit.schemes.add_weather(home.scheme_id, days, "station", home.clock.now())
        unit.commit()


def kept(home: TestHouse) -> list[tuple[object, ...]]:
    """Season, habit and sign of every row that is kept."""
    columns = (posterior.c.season_id, posterior.c.habit, posterior.c.sign)
    with home.house.store.begin_work(write=False) as work:
        found = work.rows(select(*columns).order_by(posterior.c.season_id))
    return [tuple(row) for row in found]


def newest(home: TestHouse) -> AdviceRecord:
    with home.house.store.begin(write=False) as unit:
        record = unit.advices.latest(unit.schemes.plot_id(home.scheme_id, "H07"))
    assert record is not None
    return record


def test_finished_dry_downs_are_kept_and_every_advice_is_given_again_without_them(
    home: TestHouse,
) -> None:
    live(home, (*DRY_DOWN, *DRY_DOWN[:3]))
    ((_season, habit, sign),) = kept(home)
    assert (habit, sign is None) == (None, False)
    last = newest(home)
    assert all(home.house.explain(number).same for number in range(1, last.id + 1))
    home.text(READER, "H07 ADVICE")
    cached = newest(home)
    with home.house.store.begin_work() as work:
        work.run(delete(posterior))
        work.conn.commit()
    home.text(READER, "H07 ADVICE")
    assert newest(home).advice == cached.advice
    assert kept(home) == [(_season, None, sign)]


def test_a_kept_posterior_that_no_longer_follows_from_the_book_is_reckoned_anew(
    home: TestHouse,
) -> None:
    live(home, (*DRY_DOWN, *DRY_DOWN[:2]))
    ((_season, _habit, sign),) = kept(home)
    with home.house.store.begin_work() as work:
        work.run(
            update(posterior).values(
                sign="0" * 32, belief={"mean": [9.0] * 4, "covariance": [0.0] * 16}
            )
        )
        work.conn.commit()
    home.text(READER, "H07 ADVICE")
    assert home.house.explain(newest(home).id).same
    assert kept(home)[0][2] == sign


def test_what_a_season_taught_begins_the_next_one_and_is_carried_once(home: TestHouse) -> None:
    live(home, (*DRY_DOWN, *DRY_DOWN, "HARVESTED"))
    with home.house.store.begin() as unit:
        plot_id = unit.schemes.plot_id(home.scheme_id, "H07")
        sown = home.today - timedelta(days=20)
        unit.schemes.add_season(plot_id, Season("transplanted", home.today, sown, 120))
        unit.commit()
    home.clock.move(timedelta(days=1))
    home.text(READER, "H07 3 above")
    first, second = kept(home)
    assert first[1] is None
    assert second[1] is not None
    record = newest(home)
    assert record.setting.habit is not None
    assert home.house.explain(record.id).same
    home.text(READER, "H07 4 above")
    assert kept(home)[1][1] == second[1]
    assert newest(home).setting.habit == record.setting.habit
