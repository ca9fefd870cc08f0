"""The register of a scheme: read whole, put right, on both databases."""

from datetime import date, timedelta

from gateway.advisory.records import NitrogenPlan, NitrogenSplit
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Season
from gateway.store.engine import SqlStore
from tests.store.field import NOW, NUMBER, PLANTED, TODAY, sow

PLAN = NitrogenPlan(
    "Plan A", "urea", 46, "A. Officer", TODAY, "the office", (NitrogenSplit(20, 25, 30),)
)
RAISED = ThresholdRaised("A. Officer", TODAY, "deep soil")


def test_everything_enrolled_is_in_the_register_and_nothing_of_another_scheme(
    store: SqlStore,
) -> None:
    field, other = sow(store), sow(store, "OTHER")
    window = WaterWindow(TODAY, TODAY + timedelta(days=2), True)
    with store.begin() as unit:
        plan_id = unit.schemes.add_plan(field.scheme.id, PLAN)
        unit.schemes.add_water(field.block_id, [window])
        found = unit.register.of(field.scheme.id)
        elsewhere = unit.register.of(other.scheme.id)
    assert found.plans == {"Plan A": plan_id}
    assert (found.blocks["Upper"].water, elsewhere.blocks["Upper"].water) == ((window,), None)
    plot = found.plots["H07"]
    assert (plot.id, plot.block, plot.plot) == (field.plot_id, "Upper", Plot("H07", area_ha=0.4))
    assert (plot.grower, plot.grower_id) == ("A. Grower", field.grower_id)
    season = plot.seasons[PLANTED]
    assert season.season == Season("transplanted", PLANTED, variety="Invented")
    assert (season.id, season.plan) == (field.season_id, None)
    reader = plot.readers[NUMBER]
    assert (reader.phone_id, reader.language, reader.reads) == (field.phone.id, "fil", "soil")
    assert elsewhere.plots["H07"].id == other.plot_id


def test_a_plot_is_put_right_and_its_own_outlet_is_not_made_up(store: SqlStore) -> None:
    field = sow(store)
    told = Plot("H07", 0.5, "clay", 15.0, 20.0, 21.0, -20, -20, RAISED, frozenset({"saline"}))
    with store.begin() as unit:
        lower = unit.schemes.add_block(field.scheme.id, "Lower", "L1", 12.0)
        unit.register.change_plot(field.plot_id, lower, told)
        unit.register.change_block(field.block_id, "U2", None)
        found = unit.register.of(field.scheme.id)
        case = unit.books.case(field.plot_id, NOW).case
    assert (found.plots["H07"].block, found.plots["H07"].plot) == ("Lower", told)
    assert (found.blocks["Upper"].outlet, found.blocks["Upper"].outlet_lps) == ("U2", None)
    assert (case.plot.area_ha, case.plot.outlet_lps) == (0.5, 12.0)
    assert found.plots["H07"].grower == "A. Grower"


def test_a_season_is_put_right_and_takes_the_splits_of_its_plan(store: SqlStore) -> None:
    field = sow(store)
    told = Season("wet-seeded", PLANTED, duration_days=113, variety="Other")
    with store.begin() as unit:
        plan_id = unit.schemes.add_plan(field.scheme.id, PLAN)
        unit.register.change_season(field.season_id, told, plan_id)
        found = unit.register.of(field.scheme.id).plots["H07"].seasons[PLANTED]
        (split,) = unit.books.case(field.plot_id, NOW).case.season.nitrogen
        unit.register.change_season(field.season_id, told, None)
        again = unit.register.of(field.scheme.id).plots["H07"].seasons[PLANTED]
    assert (found.season, found.plan, again.plan) == (told, "Plan A", "Plan A")
    assert split.from_ == PLANTED + timedelta(days=20)


def test_the_newest_weather_of_the_days_asked_for_is_given(store: SqlStore) -> None:
    field = sow(store)
    first = WeatherDay(TODAY, et0_mm=4.0, rain_mm=1.0)
    newer = WeatherDay(TODAY, et0_mm=5.0)
    later = WeatherDay(TODAY + timedelta(days=1), rain_mm=2.0)
    with store.begin() as unit:
        unit.schemes.add_weather(field.scheme.id, [first, later], "a", NOW)
        unit.schemes.add_weather(field.scheme.id, [newer], "b", NOW + timedelta(hours=1))
        known = unit.register.weather(field.scheme.id, TODAY, TODAY, NOW)
        now = unit.register.weather(field.scheme.id, TODAY, TODAY, NOW + timedelta(hours=1))
        none = unit.register.weather(field.scheme.id, date(2025, 1, 1), date(2025, 2, 1), NOW)
    assert (known, now, none) == ({TODAY: first}, {TODAY: newer}, {})
