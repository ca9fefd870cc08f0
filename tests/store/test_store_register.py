"""The register of a scheme: read whole, put right, on both databases."""

from dataclasses import fields, replace
from datetime import date, timedelta

from gateway.advisory.records import NitrogenPlan, NitrogenSplit
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Approval, Season, Split
from gateway.store.engine import SqlStore
from tests.store.field import NOW, NUMBER, PLANTED, TODAY, sow

PLAN = NitrogenPlan(
    "Plan A", "urea", 46, "A. Officer", TODAY, "the office", (NitrogenSplit(20, 25, 30, 26.0),)
)
RAISED = ThresholdRaised("A. Officer", TODAY, "deep soil", from_cm=-15)
FINER = {
    "water_ec_ds_m": 1.4,
    "bund_cm": 12.0,
    "area_confirmed": False,
    "water_source": "gravity-turn",
}


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
    told = replace(told, **FINER)
    with store.begin() as unit:
        lower = unit.schemes.add_block(field.scheme.id, "Lower", "L1", 12.0)
        unit.register.change_plot(field.plot_id, lower, told)
        unit.register.change_block(field.block_id, "U2", None)
        found = unit.register.of(field.scheme.id)
        case = unit.books.case(field.plot_id, NOW).case
    assert (found.plots["H07"].block, found.plots["H07"].plot) == ("Lower", told)
    assert (found.blocks["Upper"].outlet, found.blocks["Upper"].outlet_lps) == ("U2", None)
    assert case.plot == replace(told, outlet_lps=12.0)
    assert found.plots["H07"].grower == "A. Grower"


def test_a_season_is_put_right_and_takes_the_splits_of_its_plan(store: SqlStore) -> None:
    field = sow(store)
    told = Season(
        "transplanted",
        PLANTED,
        duration_days=113,
        variety="Other",
        crop_season="dry",
        photoperiod_sensitive=False,
        uneven=True,
        seedlings="mechanical",
    )
    with store.begin() as unit:
        plan_id = unit.schemes.add_plan(field.scheme.id, PLAN)
        unit.register.change_season(field.season_id, told, plan_id)
        found = unit.register.of(field.scheme.id).plots["H07"].seasons[PLANTED]
        grown = unit.books.case(field.plot_id, NOW).case.season
        unit.register.change_season(field.season_id, told, None)
        again = unit.register.of(field.scheme.id).plots["H07"].seasons[PLANTED]
    assert (found.season, found.plan, again.plan) == (told, "Plan A", "Plan A")
    (split,) = grown.nitrogen
    assert split == Split(PLANTED + timedelta(20), PLANTED + timedelta(25), 30 / 0.46, "urea", 26.0)
    approved = Approval("A. Officer", date(2026, 2, 14), "the office", "Plan A")
    assert grown == replace(told, nitrogen=(split,), nitrogen_approved=approved)


def test_no_fact_of_a_plot_or_a_crop_is_lost_on_its_way_through_the_store(store: SqlStore) -> None:
    """Each field is told, none at its default: one without a column would come back as that.

    Who approved the nitrogen is no fact of the crop: the plan brings it.
    """
    field = sow(store)
    plot = Plot("H08", 0.5, "clay", 15.0, 20.0, 21.0, -20, -20, RAISED, frozenset(), 9.0, "first")
    plot = replace(plot, **FINER)
    season = Season(
        "transplanted",
        PLANTED,
        PLANTED - timedelta(days=21),
        113,
        PLANTED + timedelta(days=70),
        (Split(PLANTED, TODAY, 65.0, "urea", 26.0),),
        "Other",
        "dry",
        photoperiod_sensitive=True,
        uneven=True,
        seedlings="cool",
    )
    told = [(plot, each) for each in fields(plot)] + [(season, each) for each in fields(season)]
    told = [(value, each) for value, each in told if each.name != "nitrogen_approved"]
    assert [each.name for value, each in told if getattr(value, each.name) == each.default] == []
    with store.begin() as unit:
        plot_id = unit.schemes.add_plot(field.scheme.id, field.block_id, plot)
        unit.schemes.add_season(plot_id, season)
        case = unit.books.case(plot_id, NOW).case
    assert (case.plot, case.season) == (plot, season)


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
