"""Books, weather and cases: what is known, when it was known, and to which season it belongs."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from sqlalchemy.event import listen

from gateway.advisory.records import NitrogenPlan, NitrogenSplit, Setting
from gateway.agronomy.book import Event
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Season, Split
from gateway.store.engine import SqlStore
from gateway.store.unit import SqlUnit
from tests.store.field import NOW, PLANTED, TODAY, Field, sow, text

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)

EVENTS = [
    Event("reading", TODAY, level_cm=-12.5),
    Event("reading", TODAY, level_cm=0.0),
    Event("reading", TODAY, dry=True),
    Event("flooded", TODAY, time(6, 30), to_cm=5),
    Event("rain", TODAY, mm=12.5),
    Event("nitrogen", TODAY, product="urea"),
    Event("weeds", TODAY, amount="few"),
    Event("spray", TODAY, product="Invented 5%", hold_days=0, reentry_hours=0.5),
    Event("harvest", TODAY),
]


def reading(level_cm: float, on: date = TODAY) -> Event:
    return Event("reading", on, level_cm=level_cm)


def levels(unit, field: Field, as_of: datetime = NOW) -> list[float | None]:
    return [event.level_cm for event in unit.books.case(field.plot_id, as_of).case.events]


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: f"{event.kind}-{event.level_cm}")
def test_an_event_comes_back_as_it_was_told(store: SqlStore, event: Event) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        number = unit.books.append(field.plot_id, event, "reader", NOW, kept.id)
        (row,) = unit.books.rows(field.plot_id)
        ((plot_id, of_text),) = unit.books.rows_of_text(kept.id)
        assert unit.books.case(field.plot_id, NOW).case.events == (event,)
    assert (row.id, row.event, row.recorded_at, row.by) == (number, event, NOW, "reader")
    assert (plot_id, of_text) == (field.plot_id, row)


def test_a_correction_takes_the_place_of_a_row_and_keeps_it(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        first = unit.books.append(field.plot_id, reading(-18), "reader", NOW, kept.id)
        unit.books.append(field.plot_id, reading(-8), "reader", NOW + HOUR, supersedes=first)
        assert levels(unit, field, NOW + HOUR) == [-8]
        assert levels(unit, field, NOW) == [-18]
        assert unit.books.rows_of_text(kept.id) == []
        rows = unit.books.rows(field.plot_id)
        then = unit.books.rows(field.plot_id, NOW)
    assert [(row.event.level_cm, row.superseded) for row in rows] == [(-18, True), (-8, False)]
    assert [(row.event.level_cm, row.superseded) for row in then] == [(-18, False)]
    assert rows[1].supersedes == first


def test_a_withdrawn_row_no_longer_counts_and_nothing_stands_in_its_place(
    store: SqlStore,
) -> None:
    field = sow(store)
    with store.begin() as unit:
        unit.books.append(field.plot_id, reading(-3), "reader", NOW)
        wrong = unit.books.append(field.plot_id, reading(-18), "reader", NOW)
        unit.books.withdraw(wrong, "reader", NOW + HOUR, None)
        assert levels(unit, field, NOW) == [-3, -18]
        assert levels(unit, field, NOW + HOUR) == [-3]
        rows = unit.books.rows(field.plot_id)
    assert [(row.event.level_cm, row.superseded) for row in rows] == [(-3, False), (-18, True)]


def test_the_day_of_a_case_is_that_of_the_schemes_zone(store: SqlStore) -> None:
    field = sow(store)
    late = datetime(2026, 2, 14, 16, 0, tzinfo=UTC)  # midnight in Manila, which is at +08:00
    with store.begin() as unit:
        assert unit.books.case(field.plot_id, late).case.as_of == date(2026, 2, 15)
        before = late - timedelta(microseconds=1)
        assert unit.books.case(field.plot_id, before).case.as_of == date(2026, 2, 14)


# -- the plot and its season ----------------------------------------------------------------------


@pytest.mark.parametrize("bars", [None, frozenset(), frozenset({"saline", "acid-sulphate"})])
def test_a_plot_comes_back_as_it_was_enrolled(store: SqlStore, bars) -> None:
    field = sow(store)
    raised = ThresholdRaised("A. Officer", date(2026, 1, 2), "deep clay")
    plot = Plot(
        "H08", 0.5, "clay", 15.0, 20.0, 18.0, -30.0, -20.0, raised, bars, 12.5, "first-season"
    )
    with store.begin() as unit:
        number = unit.schemes.add_plot(field.scheme.id, field.block_id, plot)
        found = unit.books.case(number, NOW)
        bare = unit.books.case(field.plot_id, NOW)
    assert (found.case.plot, found.season_id, found.case.season) == (plot, None, None)
    assert bare.case.plot == Plot("H07", 0.4, outlet_lps=30.0)  # the outlet of its block


@pytest.mark.parametrize(
    ("established", "harvested", "day", "current"),
    [
        ([date(2026, 1, 20)], None, date(2026, 2, 14), date(2026, 1, 20)),
        ([date(2026, 3, 1)], None, date(2026, 2, 14), date(2026, 3, 1)),
        ([date(2025, 7, 1), date(2026, 1, 20)], None, date(2026, 2, 14), date(2026, 1, 20)),
        ([date(2026, 1, 20), date(2026, 6, 1)], None, date(2026, 2, 14), date(2026, 1, 20)),
        (
            [date(2025, 10, 1), date(2026, 6, 1)],
            date(2026, 1, 30),
            date(2026, 2, 14),
            date(2026, 6, 1),
        ),
        ([date(2025, 10, 1)], date(2026, 1, 30), date(2026, 2, 14), date(2025, 10, 1)),
    ],
    ids=["begun", "ahead", "newest-begun", "begun-before-ahead", "harvested", "only-harvested"],
)
def test_the_season_that_counts(store: SqlStore, established, harvested, day, current) -> None:
    field = sow(store)
    now = datetime(day.year, day.month, day.day, 2, tzinfo=UTC)
    with store.begin() as unit:
        plot_id = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot("H09"))
        for on in established:
            unit.schemes.add_season(plot_id, Season("wet-seeded", on))
        if harvested:
            unit.books.append(plot_id, Event("harvest", harvested), "reader", now)
        assert unit.books.case(plot_id, now).case.season.established_on == current


def test_events_of_the_crop_before_do_not_count_for_this_one(store: SqlStore) -> None:
    field = sow(store)
    old = PLANTED - 150 * DAY
    with store.begin() as unit:
        for level, on in ((-1, old + DAY), (-2, PLANTED - 30 * DAY), (-3, PLANTED - 2 * DAY)):
            unit.books.append(field.plot_id, reading(level, on), "reader", NOW)
        unit.books.append(field.plot_id, reading(-4, PLANTED), "reader", NOW)
        assert levels(unit, field) == [-1, -2, -3, -4]  # no crop before it is on record
        unit.schemes.add_season(field.plot_id, Season("transplanted", old))
        assert levels(unit, field) == [-4]  # a crop before it, whose harvest was never told
        harvest = Event("harvest", PLANTED - 20 * DAY)
        unit.books.append(field.plot_id, harvest, "reader", NOW)
        assert levels(unit, field) == [-3, -4]


def test_a_book_of_many_crops_gives_each_its_own_part(store: SqlStore) -> None:
    field = sow(store)
    planted = [PLANTED - years * 365 * DAY for years in (3, 2, 1)]
    with store.begin() as unit:
        for number, on in enumerate(planted, 1):
            unit.schemes.add_season(field.plot_id, Season("transplanted", on))
            now = datetime(on.year, on.month, on.day, 2, tzinfo=UTC)
            unit.books.append(field.plot_id, reading(-number, on), "reader", now)
            assert levels(unit, field, now) == [-number]
            harvest = Event("harvest", on + 90 * DAY)
            unit.books.append(field.plot_id, harvest, "reader", now + 90 * DAY)
        unit.books.append(field.plot_id, reading(-9), "reader", NOW)
        assert levels(unit, field) == [-9]


def test_a_plan_dates_its_splits_from_the_establishment_in_kg_of_product(
    store: SqlStore,
) -> None:
    """Arithmetic by hand: 40 kg N/ha of a product with 46 % N are 40 / 0.46 = 86.956... kg/ha."""
    field = sow(store)
    plan = NitrogenPlan(
        "Invented",
        "urea",
        46,
        "A. Officer",
        date(2026, 1, 5),
        "the office",
        (NitrogenSplit(40, 45, 23), NitrogenSplit(10, 14, 40)),
    )
    own = Season("transplanted", PLANTED, nitrogen=(Split(PLANTED, PLANTED, 1.5, "own"),))
    with store.begin() as unit:
        plan_id = unit.schemes.add_plan(field.scheme.id, plan)
        planned = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot("P01"))
        unit.schemes.add_season(planned, own, plan_id=plan_id)
        unplanned = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot("P02"))
        unit.schemes.add_season(unplanned, own)
        season = unit.books.case(planned, NOW).case.season
        assert unit.books.case(unplanned, NOW).case.season == own
    assert [(split.from_, split.to) for split in season.nitrogen] == [
        (date(2026, 1, 30), date(2026, 2, 3)),
        (date(2026, 3, 1), date(2026, 3, 6)),
    ]
    assert [split.product for split in season.nitrogen] == ["urea", "urea"]
    assert [split.kg_ha for split in season.nitrogen] == pytest.approx([86.95652, 50.0])


# -- weather and water ----------------------------------------------------------------------------


def test_the_newest_weather_of_a_day_counts_as_known_then(store: SqlStore) -> None:
    field = sow(store)
    forecast = [WeatherDay(TODAY + n * DAY, et0_mm=5.0 + n, rain_mm=0.0) for n in range(3)]
    with store.begin() as unit:
        add = unit.schemes.add_weather
        assert add(field.scheme.id, [WeatherDay(PLANTED - DAY, 9.0)], "station", NOW) == 1
        assert add(field.scheme.id, forecast, "forecast", NOW) == 3
        seen = WeatherDay(TODAY + DAY, tmin=22.0, tmax=31.0, rain_mm=14.5)
        assert add(field.scheme.id, [seen], "station", NOW + 30 * HOUR) == 1
        assert unit.books.case(field.plot_id, NOW).case.weather == tuple(forecast)
        later = unit.books.case(field.plot_id, NOW + 30 * HOUR).case.weather
        assert later == (forecast[0], seen, forecast[2])
        assert unit.books.case(field.plot_id, NOW - DAY).case.weather == ()


def test_all_that_weather_may_hold_comes_back(store: SqlStore) -> None:
    field = sow(store)
    full = WeatherDay(TODAY, 4.5, 1.0, 22.0, 31.5, 60.0, 95.0, 1.5, 7.5, 18.25)
    with store.begin() as unit:
        unit.schemes.add_weather(field.scheme.id, [full], "station", NOW)
        assert unit.books.case(field.plot_id, NOW).case.weather == (full,)


@pytest.mark.parametrize(
    ("told", "known"),
    [
        (None, None),
        ([], ()),
        ([(2, 3, True), (0, 0, False)], (WaterWindow(TODAY, TODAY, False),)),
        ([(-3, -1, True)], None),
    ],
    ids=["never-told", "none-known", "turns", "all-over"],
)
def test_water_to_come_is_unknown_none_or_the_turns_ahead(store: SqlStore, told, known) -> None:
    field = sow(store)
    windows = [WaterWindow(TODAY + a * DAY, TODAY + b * DAY, sure) for a, b, sure in told or []]
    with store.begin() as unit:
        if told is not None:
            unit.schemes.add_water(field.block_id, [WaterWindow(TODAY, TODAY + 90 * DAY, True)])
            unit.schemes.add_water(field.block_id, windows)
        found = unit.books.case(field.plot_id, NOW).case.next_water
    if told and known:
        known = (*known, WaterWindow(TODAY + 2 * DAY, TODAY + 3 * DAY, True))
    assert found == known


def test_a_pump_goes_by_its_power_hours_and_not_by_the_turns_of_its_block(store: SqlStore) -> None:
    field = sow(store)
    turn, power = WaterWindow(TODAY, TODAY, True), WaterWindow(TODAY + DAY, TODAY + DAY, True)

    def known(source: str) -> tuple[WaterWindow, ...] | None:
        plot = Plot("H07", water_source=source)  # type: ignore[arg-type]
        unit.register.change_plot(field.plot_id, field.block_id, plot)
        return unit.books.case(field.plot_id, NOW).case.next_water

    with store.begin() as unit:
        unit.schemes.add_water(field.block_id, [turn])
        assert known("gravity-turn") == (turn,)
        assert known("own-pump") is None
        unit.schemes.add_water(field.block_id, [power], "own-pump")
        unit.schemes.add_water(field.block_id, [], "hired-pump")
        assert (known("own-pump"), known("hired-pump")) == ((power,), ())
        unit.schemes.add_water(field.block_id, [], "own-pump")
        assert (known("own-pump"), known("gravity-turn")) == ((), (turn,))


def test_a_pump_does_not_give_what_the_outlet_of_its_block_gives(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        pumped = [Plot("H07", water_source="own-pump", outlet_lps=lps) for lps in (None, 6.0)]
        found = []
        for plot in pumped:
            unit.register.change_plot(field.plot_id, field.block_id, plot)
            found.append(unit.books.case(field.plot_id, NOW).case.plot.outlet_lps)
    assert found == [None, 6.0]


# -- replay ---------------------------------------------------------------------------------------


def test_a_case_again_is_the_case_as_it_was_known(store: SqlStore) -> None:
    """The case of every instant is kept, and found again after all that came later."""
    field = sow(store)
    plot_id, scheme_id = field.plot_id, field.scheme.id
    with store.begin() as unit:
        unit.schemes.add_season(plot_id, Season("transplanted", PLANTED - 150 * DAY))
        books, schemes = unit.books, unit.schemes
        row = books.append(plot_id, reading(-2), "r", NOW)
        steps = [
            lambda at: books.append(plot_id, reading(-1, PLANTED - 9 * DAY), "r", at),
            lambda at: books.append(plot_id, Event("harvest", PLANTED - 10 * DAY), "o", at),
            lambda at: schemes.add_weather(scheme_id, [WeatherDay(TODAY, 5.0)], "f", at),
            lambda at: books.append(plot_id, reading(-5), "r", at, supersedes=row),
            lambda at: schemes.add_weather(scheme_id, [WeatherDay(TODAY, 6.0)], "s", at),
            lambda at: schemes.add_water(field.block_id, [WaterWindow(TODAY, TODAY, True)]),
            lambda at: books.withdraw(row + 3, "r", at, None),
            lambda at: books.append(plot_id, Event("harvest", TODAY + 9 * DAY), "r", at),
        ]
        cases = [(NOW, books.case(plot_id, NOW).case)]
        for number, step in enumerate(steps, 1):
            step(NOW + number * HOUR)
            cases.append((NOW + number * HOUR, books.case(plot_id, NOW + number * HOUR).case))
        unit.commit()
    assert [[event.level_cm for event in case.events] for _, case in cases] == [
        [-2],
        [-2],
        [-2, -1],
        [-2, -1],
        [-1, -5],
        [-1, -5],
        [-1, -5],
        [-1],
        [-1, None],
    ]
    assert [sum(day.et0_mm for day in case.weather) for _, case in cases] == [
        *[0] * 3,
        *[5.0] * 2,
        *[6.0] * 4,
    ]
    with store.begin(write=False) as unit:
        for at, case in cases:
            setting = Setting(case.plot, case.season, case.next_water)
            assert unit.books.case_again(plot_id, setting, at) == case


def test_a_case_again_takes_its_setting_from_the_advice_not_from_today(store: SqlStore) -> None:
    field = sow(store)
    with store.begin(write=False) as unit:
        then = Setting(Plot("H07", area_ha=9.0), Season("wet-seeded", TODAY), ())
        again = unit.books.case_again(field.plot_id, then, NOW)
    assert (again.plot, again.season, again.next_water) == (then.plot, then.season, ())


# -- every plot -----------------------------------------------------------------------------------


def test_active_cases_are_those_of_seasons_not_harvested(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        scheme, block = field.scheme.id, field.block_id

        def plot(code: str, *planted: date) -> int:
            number = unit.schemes.add_plot(scheme, block, Plot(code))
            for on in planted:
                unit.schemes.add_season(number, Season("wet-seeded", on))
            return number

        plot("NONE")
        done = plot("DONE", PLANTED)
        next_too = plot("NEXT", PLANTED, TODAY + 90 * DAY)
        ahead = plot("AHEAD", TODAY + 30 * DAY)
        for number in (done, next_too):
            unit.books.append(number, Event("harvest", TODAY), "reader", NOW)
        back = unit.books.append(ahead, Event("harvest", TODAY + 40 * DAY), "reader", NOW)
        unit.books.withdraw(back, "reader", NOW, None)
        unit.commit()
    sow(store, "OTHER")
    with store.begin(write=False) as unit:
        found = list(unit.books.active_cases(scheme, NOW))
        assert [each.plot_id for each in found] == [field.plot_id, next_too, ahead]
        assert found == [unit.books.case(each.plot_id, NOW) for each in found]
        assert {each.scheme_id for each in found} == {scheme}


def test_a_thousand_active_cases_take_few_statements(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        for number in range(1100):
            plot_id = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot(f"X{number:04d}"))
            unit.schemes.add_season(plot_id, Season("wet-seeded", PLANTED))
        unit.commit()
    asked: list[str] = []
    with store.begin_work(write=False) as work:
        listen(work.conn, "before_cursor_execute", lambda *args: asked.append(args[2]))
        assert len(list(SqlUnit(work).books.active_cases(field.scheme.id, NOW))) == 1101
    assert len(asked) < 25
