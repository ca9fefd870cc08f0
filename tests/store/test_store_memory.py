"""What the store remembers between units of work never hides what was told anew."""

from datetime import date, timedelta

from gateway.advisory.records import NitrogenPlan, NitrogenSplit
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.season import Season
from gateway.store.engine import SqlStore
from tests.store.field import NOW, PLANTED, TODAY, Field, sow


def case_of(store: SqlStore, field: Field, after: timedelta = timedelta()) -> Case:
    """The case of the field's plot, as known some time after NOW."""
    with store.begin(write=False) as unit:
        return unit.books.case(field.plot_id, NOW + after).case


def tell_sky(store: SqlStore, field: Field, et0_mm: float, recorded: timedelta, keep: bool) -> Case:
    """Tell today's weather, read the case beside it, and keep it or take it back."""
    with store.begin() as unit:
        day = WeatherDay(TODAY, et0_mm)
        unit.schemes.add_weather(field.scheme.id, [day], "station", NOW + recorded)
        found = unit.books.case(field.plot_id, NOW + recorded).case
        if keep:
            unit.commit()
    return found


def test_weather_told_anew_counts_at_once_and_the_older_one_still_counts_before_it(
    store: SqlStore,
) -> None:
    field, hour = sow(store), timedelta(hours=1)
    tell_sky(store, field, 5.0, timedelta(), keep=True)
    assert [day.et0_mm for day in case_of(store, field).weather] == [5.0]
    tell_sky(store, field, 7.0, hour, keep=True)
    assert [day.et0_mm for day in case_of(store, field, hour).weather] == [7.0]
    assert [day.et0_mm for day in case_of(store, field).weather] == [5.0]


def test_weather_that_was_taken_back_is_not_remembered(store: SqlStore) -> None:
    field = sow(store)
    assert [day.et0_mm for day in tell_sky(store, field, 9.0, timedelta(), False).weather] == [9.0]
    tell_sky(store, field, 4.0, timedelta(), keep=True)
    assert [day.et0_mm for day in case_of(store, field).weather] == [4.0]


def test_a_plan_that_was_taken_back_is_not_remembered(store: SqlStore) -> None:
    field = sow(store)

    def plant(kg_n_ha: float, later: int, keep: bool) -> Case:
        split = NitrogenSplit(20, 25, kg_n_ha)
        plan = NitrogenPlan("plan", "urea", 46.0, "B. Officer", date(2026, 1, 5), "leaf", (split,))
        season = Season("transplanted", PLANTED + timedelta(days=later))
        with store.begin() as unit:
            plan_id = unit.schemes.add_plan(field.scheme.id, plan)
            unit.schemes.add_season(field.plot_id, season, plan_id=plan_id)
            found = unit.books.case(field.plot_id, NOW).case
            if keep:
                unit.commit()
        return found

    def dose(case: Case) -> list[float | None]:
        return [] if case.season is None else [split.kg_ha for split in case.season.nitrogen]

    assert dose(plant(46.0, 1, keep=False)) == [100.0]
    assert dose(plant(23.0, 2, keep=True)) == [50.0]
    assert dose(case_of(store, field)) == [50.0]
