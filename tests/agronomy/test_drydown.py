"""The estimate of a dry-down: what must hold whatever is read, and the contract's clock."""

from dataclasses import replace
from datetime import date, time, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gateway.agronomy.book import Event
from gateway.agronomy.case import WeatherDay
from gateway.agronomy.drydown import Estimate
from gateway.agronomy.footing import Footing, footing_of
from gateway.agronomy.stages import calendar_of
from tests.agronomy.books import (
    SEASON,
    case_on,
    day,
    estimated,
    falling,
    flooded,
    reading,
    weather,
)
from tests.agronomy.plots import book

LEARNED = [*falling(0, 4, 2, 0, -4, -9, -15), *falling(12, 4, 2, -1, -5, -10, -16)]
levels = st.lists(st.integers(-19, 9), max_size=4)
gaps = st.lists(st.integers(1, 5), min_size=4, max_size=4)
soils = st.sampled_from(["clay", "clay-loam", "loam", "sandy-loam", "sand", None])


def book_of(seen: list[int], apart: list[int], learned: bool) -> tuple[list[Event], int]:
    """A book that ends with readings some days apart, and the day of the last of them."""
    events, number = (list(LEARNED), 24) if learned else ([], 0)
    events.append(flooded(number))
    for level, gap in zip(seen, apart, strict=False):
        number += gap
        events.append(reading(number, level))
    return events, number


def test_nothing_on_record_gives_no_level_and_a_look_today() -> None:
    found = estimated(3, [])
    assert found.level_cm is None
    assert found.threshold_on.p50 is None
    assert found.next_reading_on == day(3)
    assert found.notes == ("no-reading-yet",)


@pytest.mark.parametrize("level", [2, 0, -4, -7])
def test_a_reading_of_today_puts_the_level_near_it(level: int) -> None:
    band = estimated(30, [*LEARNED, flooded(24), reading(27, (level + 5) / 2), reading(30, level)])
    assert band.level_cm is not None
    assert abs(band.level_cm.p50 - level) < 1.0


def test_a_plot_that_fell_faster_crosses_sooner_from_the_same_level() -> None:
    slow = falling(0, 4, 3, 2, 1, -1, -3, -5, -7, -9, -11, -13, -15)
    fast = falling(0, 2, -3, -9, -15)
    now = [flooded(30), reading(33, 2)]
    late, soon = estimated(33, [*slow, *now]), estimated(33, [*fast, *now])
    assert soon.threshold_on.p50 < late.threshold_on.p50  # type: ignore[operator]
    assert soon.fall_cm_d.p50 > 1.5 * late.fall_cm_d.p50  # type: ignore[union-attr]


def test_what_earlier_dry_downs_taught_narrows_the_band_of_the_next() -> None:
    now = [flooded(24), reading(27, 2)]
    fresh, known = estimated(27, now), estimated(27, [*LEARNED, *now])

    def width(found: Estimate) -> timedelta:
        assert found.threshold_on.p10 is not None
        assert found.threshold_on.p90 is not None
        return found.threshold_on.p90 - found.threshold_on.p10

    assert width(known) < width(fresh)
    assert known.storage_mm_cm.p90 / known.storage_mm_cm.p10 < 3
    assert fresh.storage_mm_cm.p90 / fresh.storage_mm_cm.p10 > 6


def test_a_new_plot_is_met_with_the_wide_prior_of_storage() -> None:
    """Storage of 1.6 mm/cm with p10 0.5 and p90 4.5: common practice, no source."""
    storage = estimated(0, [flooded(0)]).storage_mm_cm
    assert storage.p10 == pytest.approx(0.5, rel=0.1)
    assert storage.p50 == pytest.approx(1.6, rel=0.05)
    assert storage.p90 == pytest.approx(4.5, rel=0.15)


@settings(max_examples=60, deadline=None)
@given(levels, gaps, soils, st.booleans(), st.integers(-20, 9), st.integers(1, 8))
def test_a_deeper_reading_never_gives_a_later_date(
    seen: list[int], apart: list[int], soil: str | None, learned: bool, level: int, deeper: int
) -> None:
    events, last = book_of(seen, apart, learned)
    today = last + 2
    upper = estimated(today, [*events, reading(today, level)], soil=soil).threshold_on
    lower = estimated(today, [*events, reading(today, level - deeper)], soil=soil).threshold_on
    for name in ("p10", "p50", "p90"):
        assert getattr(lower, name) <= getattr(upper, name)


@settings(max_examples=60, deadline=None)
@given(levels, gaps, soils, st.booleans(), st.integers(0, 6), st.floats(0, 80), st.floats(0, 80))
def test_more_rain_to_come_never_gives_an_earlier_date(
    seen: list[int],
    apart: list[int],
    soil: str | None,
    learned: bool,
    ahead: int,
    rain: float,
    more: float,
) -> None:
    events, last = book_of(seen, apart, learned)
    falls = (rain, rain + more)
    dry, wet = (
        estimated(last, events, weather(last + 10, rain={last + ahead: mm}), soil=soil)
        for mm in falls
    )
    for name in ("p10", "p50", "p90"):
        assert getattr(wet.threshold_on, name) >= getattr(dry.threshold_on, name)


@settings(max_examples=60, deadline=None)
@given(levels, gaps, soils, st.booleans(), st.integers(0, 9))
def test_bands_are_ordered_and_no_date_is_narrower_than_is_honest(
    seen: list[int], apart: list[int], soil: str | None, learned: bool, later: int
) -> None:
    events, last = book_of(seen, apart, learned)
    found = estimated(last + later, events, soil=soil)
    for band in (found.level_cm, found.loss_mm_d, found.storage_mm_cm, found.fall_cm_d):
        assert band is not None
        assert band.p10 <= band.p50 <= band.p90
    dates, today = found.threshold_on, day(last + later)
    assert dates.p10 is not None
    assert dates.p50 is not None
    assert dates.p90 is not None
    assert today <= dates.p10 <= dates.p50 <= dates.p90
    assert dates.p90 - dates.p50 >= timedelta(days=2) or (dates.p90 - today).days >= 40
    assert dates.p50 - dates.p10 >= timedelta(days=2) or dates.p10 == today
    assert found.next_reading_on >= today


@settings(max_examples=25, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_entry_does_not_matter(rng: Random) -> None:
    events = [*LEARNED, flooded(24), reading(27, 2), Event("rain", day(28), mm=12)]
    events += [reading(29, 1, at=time(7)), reading(29, 0, at=time(18))]
    mixed = list(events)
    rng.shuffle(mixed)
    assert estimated(30, mixed) == estimated(30, events)


@pytest.mark.parametrize("wrong", [-60, -30, 25, 60])
def test_one_impossible_reading_does_not_steer(wrong: int) -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    right, misled = estimated(30, before), estimated(30, [*before, reading(30, wrong)])
    assert "reading-doubted" in misled.notes
    assert misled.next_reading_on <= day(32)
    assert abs((misled.threshold_on.p50 - right.threshold_on.p50).days) <= 5  # type: ignore[operator]
    after, clean = (
        estimated(31, [*events, reading(31, -2)])
        for events in ([*before, reading(30, wrong)], before)
    )
    assert "reading-doubted" not in after.notes
    assert abs((after.threshold_on.p50 - clean.threshold_on.p50).days) <= 1  # type: ignore[operator]


def test_two_readings_that_agree_are_believed_against_the_forecast() -> None:
    """Somebody watered and nobody told: the second look settles it."""
    before = [*LEARNED, flooded(24), reading(27, 2), reading(31, -7)]
    found = estimated(33, [*before, reading(32, 4), reading(33, 4)])
    assert found.level_cm is not None
    assert found.level_cm.p50 > 1.5


def test_readings_that_nothing_explains_are_told_to_the_office() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    found = estimated(30, [*before, reading(28, -18), reading(29, 0), reading(30, 9)])
    assert "readings-unexplained" in found.notes
    assert "readings-unexplained" not in estimated(30, [*before, reading(30, 9)]).notes


def test_a_dry_tube_puts_the_level_below_the_tubes_bottom() -> None:
    found = estimated(30, [*LEARNED, flooded(22), reading(28, -9), reading(30, "dry")])
    assert found.level_cm is not None
    assert found.level_cm.p50 <= -19
    assert found.level_cm.p90 <= -17
    assert found.threshold_on.p50 == day(30)


def test_a_dry_tube_never_gives_a_later_date_than_a_reading_above_it() -> None:
    before = [*LEARNED, flooded(24), reading(28, -2)]
    dry, wet = (estimated(30, [*before, reading(30, seen)]) for seen in ("dry", -12))
    assert dry.threshold_on.p90 <= wet.threshold_on.p90  # type: ignore[operator]


def test_a_flooding_sets_the_level_again() -> None:
    found = estimated(24, [*LEARNED, flooded(24)])
    assert found.level_cm is not None
    assert found.level_cm.p50 == pytest.approx(5, abs=0.2)
    assert found.level_cm.p90 - found.level_cm.p10 == pytest.approx(2.56, abs=0.5)


@pytest.mark.parametrize(
    ("read_at", "flooded_at", "near"),
    [
        pytest.param(None, None, 5, id="without-times-the-reading-came-first"),
        pytest.param(time(17), None, 5, id="one-time-alone-does-not-decide"),
        pytest.param(None, time(5), 5, id="nor-does-the-other"),
        pytest.param(time(6), time(9), 5, id="both-times-read-then-flooded"),
        pytest.param(time(15), time(9), 4, id="both-times-flooded-then-read"),
    ],
)
def test_on_one_day_a_reading_comes_before_a_flooding_unless_both_carry_a_time(
    read_at: time | None, flooded_at: time | None, near: float
) -> None:
    level = -16 if near == 5 else 4
    events = [reading(24, level, at=read_at), flooded(24, at=flooded_at)]
    found = estimated(24, [*LEARNED[:-1], *events])
    assert found.level_cm is not None
    assert found.level_cm.p50 == pytest.approx(near, abs=0.7)


def test_rain_told_from_the_plot_replaces_the_weathers_rain_and_never_adds() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    told = [*before, Event("rain", day(28), mm=20)]
    doubled = estimated(30, told, weather(40, rain={28: 20}))
    assert doubled == estimated(30, told, weather(40))
    assert doubled == estimated(30, before, weather(40, rain={28: 20}))
    assert doubled != estimated(30, before, weather(40))


def test_rain_that_no_gauge_shows_is_none() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    for trace in (5e-324, 1e-9, 0.009):
        assert estimated(30, before, weather(40, rain={28: trace})) == (
            estimated(30, before, weather(40, rain={28: 0}))
        )


def test_weather_of_the_day_itself_falls_after_its_morning() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    dry, wet = (estimated(30, before, weather(40, rain={30: mm})) for mm in (0, 30))
    assert wet.level_cm == dry.level_cm
    assert wet.threshold_on.p50 > dry.threshold_on.p50  # type: ignore[operator]


def test_events_of_later_days_are_not_known_yet() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    assert estimated(30, [*before, reading(31, -14), flooded(32)]) == estimated(30, before)


@pytest.mark.parametrize(
    ("soil", "most"), [("clay", 7), ("clay-loam", 7), ("Loamy sand", 5), ("sand", 5), (None, 7)]
)
def test_no_more_days_than_the_reading_gap_pass_without_a_look(soil: str | None, most: int) -> None:
    slow = [flooded(0, to_cm=9), reading(1, 9)]
    found = estimated(1, slow, weather(30, et0=1, rain={2: 60, 4: 60}), soil=soil)
    assert found.next_reading_on <= day(1 + most)
    overdue = estimated(2 + most, slow, weather(30, et0=1), soil=soil)
    assert "reading-overdue" in overdue.notes
    assert overdue.next_reading_on == day(2 + most)
    assert "reading-overdue" not in estimated(1 + most, slow, weather(30, et0=1), soil=soil).notes


def test_a_forecast_without_a_reading_widens_day_by_day() -> None:
    before = [*LEARNED, flooded(24), reading(27, 2)]
    widths = []
    for today in (27, 29, 31):
        band = estimated(today, before).level_cm
        assert band is not None
        widths.append(band.p90 - band.p10)
    assert widths == sorted(widths)


def test_water_is_called_for_a_day_early_only_where_the_plots_own_fall_is_known() -> None:
    fast = [*falling(0, 2, -4, -12), flooded(8), reading(11, -2), reading(12, -7)]
    assert estimated(13, [*fast, reading(13, -12)]).too_late_tomorrow
    assert not estimated(6, [flooded(0), reading(6, -12)]).too_late_tomorrow
    assert not estimated(12, fast).too_late_tomorrow


def footing(today: int, events: list[Event], sky: list[WeatherDay]) -> Footing:
    case, practice = case_on(today, events, sky), book().practice_of(None)
    calendar = calendar_of(SEASON, practice, case.events, case.as_of, case.plot.soil)
    return footing_of(case, calendar, practice)


def test_rain_of_late_is_expected_beside_the_forecast_and_in_full_after_it() -> None:
    now = [*LEARNED, flooded(24), reading(27, 2)]
    found = footing(27, now, weather(30, rain=dict.fromkeys((10, 14, 19, 22), 12.0)))
    within, after = found.unforeseen()[:4], found.unforeseen()[4:]
    part = found.known.model.forecast_rain_missed
    assert 0 < within[0] == pytest.approx(part * after[0])
    assert len(set(within)) == len(set(after)) == 1
    assert footing(27, now, weather(30)).unforeseen() == []


def test_rain_that_is_forecast_tells_that_more_may_come() -> None:
    now = [*LEARNED, flooded(24), reading(27, 2)]
    sky = weather(33, rain={30: 20.0})
    assert footing(27, now, sky).unforeseen()[-1] > 0
    assert footing(27, now, weather(33)).unforeseen() == []


def test_unforeseen_rain_moves_no_date_forward_and_puts_no_look_off() -> None:
    now = [*LEARNED, flooded(24), reading(27, 2)]
    sky = weather(30, rain=dict.fromkeys((10, 14, 19, 22), 12.0))
    found = footing(27, now, sky)
    told, forecast = found.expected(), found.outlook(found.told())
    with_it, without = told.crossing(-15.0), forecast.crossing(-15.0)
    assert with_it.p10 >= without.p10
    assert with_it.p90 > without.p90
    assert (told.water >= forecast.water - 1e-9).all()
    looked = found.next_look(found.prospect(found.outlook(found.cloud()), -15.0), False)
    assert estimated(27, now, sky).next_reading_on == looked


@pytest.mark.parametrize("level", [-10, -11, -12, -13, -14])
def test_a_day_early_is_called_for_only_where_water_would_hardly_come_too_early(
    level: int,
) -> None:
    """The plot falls 2 cm a day: at -10 tomorrow is not yet past the threshold."""
    slow = [e for n in range(3) for e in falling(12 * n, 4, 2, 0, -4, -8, -12)]
    now = [*slow, flooded(40), reading(44, 1), reading(50, level)]
    assert estimated(50, now).too_late_tomorrow is (level <= -13)


def test_a_plot_of_unknown_fall_is_watered_near_its_threshold_where_tomorrow_is_too_deep() -> None:
    """Fourteen below four days after a flooding is a fall of more than four cm a day."""
    assert estimated(4, [flooded(0), reading(4, -14)], soil="loam").too_late_tomorrow
    assert not estimated(4, [flooded(0), reading(4, -12)], soil="loam").too_late_tomorrow
    assert not estimated(9, [flooded(0), reading(9, -14)], soil="loam").too_late_tomorrow


def test_a_careless_readers_number_pulls_the_level_less() -> None:
    def by(reader: str, stray: float) -> list[Event]:
        rng = Random(4)
        told = [e for n in range(5) for e in falling(10 * n, 4, 3, 2, 1, -2, -5, -8, every=1)]
        return [
            replace(e, reader=reader, level_cm=e.level_cm + rng.gauss(0, stray))
            if e.level_cm is not None
            else e
            for e in told
        ]

    found = []
    for stray in (0.3, 3.0):
        last = [flooded(50), replace(reading(53, -1), reader="R1")]
        found.append(estimated(53, [*by("R1", stray), *last]).level_cm)
    careful, careless = found
    assert careful is not None
    assert careless is not None
    assert careless.p90 - careless.p10 > 1.3 * (careful.p90 - careful.p10)


def test_a_plot_that_falls_too_fast_for_daily_looks_is_named() -> None:
    fast = [event for n in range(4) for event in falling(7 * n, 3, 1, -1, -11, -20, every=1)]
    assert "falls-too-fast" in estimated(29, [*fast, flooded(28)]).notes
    assert "falls-too-fast" not in estimated(24, [*LEARNED, flooded(24)]).notes


def test_the_estimate_is_the_same_whenever_it_is_asked() -> None:
    events = [*LEARNED, flooded(24), reading(27, 2)]
    first = estimated(29, events)
    estimated(40, [flooded(0), reading(40, -3)])
    assert estimated(29, events) == first


def test_readings_without_any_flooding_are_enough() -> None:
    found = estimated(6, [reading(0, 3), reading(3, 0), reading(6, -5)])
    assert found.level_cm is not None
    assert found.level_cm.p50 == pytest.approx(-5, abs=1.2)
    assert found.threshold_on.p50 is not None


def test_a_case_of_another_season_still_has_an_estimate() -> None:
    old = [replace(event, on=event.on - timedelta(days=200)) for event in LEARNED]
    found = estimated(2, [*old, flooded(0), reading(2, 3)])
    assert found.storage_mm_cm.p90 / found.storage_mm_cm.p10 < 3
    assert isinstance(found.next_reading_on, date)
