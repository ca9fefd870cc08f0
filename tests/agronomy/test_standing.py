"""How deep water may stand: on young plants, with snails, on short stands, against the cold."""

from dataclasses import replace
from datetime import date

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.season import Method, Season
from gateway.agronomy.stages import calendar_for
from gateway.agronomy.standing import Standing, standing_of
from gateway.agronomy.temperature import cold_of, heat_of
from tests.agronomy.plots import PLANTED, PLOT, SEASON, book, days

PRACTICE = book().practice
COLD = replace(PRACTICE, temperature=replace(PRACTICE.temperature, cold=True, heat=True))


def at(
    age: int, *events: Event, method: Method = "transplanted", bund: float | None = None
) -> Case:
    season = replace(SEASON, method=method, sown_on=None) if method != "transplanted" else SEASON
    return Case(PLANTED + days(age), replace(PLOT, bund_cm=bund), season, events)


def depth(case: Case) -> Standing:
    assert case.season is not None
    return standing_of(case, case.season, PRACTICE, "no")


def snails(age: int) -> Event:
    return Event("snails", PLANTED + days(age))


def tall(age: int, height: float | None) -> Event:
    return Event("tall", PLANTED + days(age), height_cm=height)


@pytest.mark.parametrize(
    ("case", "aim", "most"),
    [
        (at(0), 5, 10),
        (at(20), 5, 10),
        (at(21), 5, 10),
        (at(9, method="wet-seeded"), 0, 3),
        (at(10, method="wet-seeded"), 3, 3),
        (at(20, method="dry-seeded"), 3, 3),
        (at(21, method="dry-seeded"), 5, 10),
        (at(10, snails(8)), 3, 3),
        (at(28, snails(8)), 3, 3),
        (at(29, snails(8)), 5, 10),
        (at(34, snails(30)), 3, 3),
        (at(35, snails(34)), 5, 10),
        (at(10, tall(5, 12)), 4, 6),
        (at(10, tall(4, 12)), 4, 6),
        (at(11, tall(4, 12)), 5, 10),
        (at(10, tall(5, None)), 5, 10),
        (at(30, tall(28, 18)), 5, 9),
        (at(30, tall(28, 80)), 5, 10),
        (at(30, tall(28, 12), method="wet-seeded"), 4, 6),
        (at(10, tall(5, 12), tall(9, 15)), 5, 7.5),
    ],
    ids=[
        "planting day",
        "three weeks less a day",
        "three weeks",
        "seedbed",
        "seeded, past the seedbed",
        "seeded, 20 days",
        "seeded, three weeks",
        "snails",
        "snails, 20 days ago",
        "snails, three weeks ago",
        "snails, fifth week",
        "snails, past the fifth week",
        "12 cm tall",
        "12 cm tall, six days ago",
        "12 cm tall, a week ago",
        "tall, no height told",
        "old enough, 18 cm: half of it",
        "80 cm",
        "a short seeded stand of a month",
        "two heights, the later counts",
    ],
)
def test_the_depth_follows_age_snails_and_height(case: Case, aim: float, most: float) -> None:
    """Snails: most harm at 5 cm, none after week five (Exp. Agric. 53(4):528-538, 2017); a third of
    the plants' height on young stands, half of it on others: common practice."""
    found = depth(case)
    assert (found.flood_to_cm, found.too_deep_cm) == (pytest.approx(aim), pytest.approx(most))


def chilled(case: Case, tmin: float, ahead: int = 1) -> str:
    assert case.season is not None
    weather = (WeatherDay(case.as_of + days(ahead), tmin=tmin, tmax=tmin + 9),)
    cold = replace(case, weather=weather)
    calendar = calendar_for(cold, case.season, COLD)
    stage = calendar.stage_on(case.as_of)
    young = (case.as_of - PLANTED).days < COLD.start.young_days
    return cold_of(cold, calendar, stage, young, COLD)


PEAK = (date(2026, 3, 20) - PLANTED).days


@pytest.mark.parametrize(
    ("age", "tmin", "ahead", "cold"),
    [
        (10, 14.9, 1, "seedlings"),
        (20, 14, 0, "seedlings"),
        (21, 14, 0, "no"),
        (PEAK - 21, 14, 0, "no"),
        (PEAK - 20, 14, 0, "booting"),
        (PEAK, 14, 3, "booting"),
        (PEAK, 14, 4, "no"),
        (PEAK, 15, 0, "no"),
        (PEAK, 14, -1, "no"),
        (PEAK + 7, 14, 0, "booting"),
        (PEAK + 8, 14, 0, "no"),
    ],
)
def test_cold_harms_seedlings_and_forming_pollen(
    age: int, tmin: float, ahead: int, cold: str
) -> None:
    """Pollen forms 12 to 14 days before flowering and suffers from cold (NSW DPI Primefact 1240);
    20 days before flowering and 15 C are common practice."""
    assert chilled(at(age), tmin, ahead) == cold


@pytest.mark.parametrize(
    ("bund", "aim"), [(None, 10), (30, 15), (20, 15), (16, 11), (12, 7), (8, 5), (4, 4), (0, 3)]
)
def test_deep_water_against_cold_stays_within_the_bund(bund: float | None, aim: float) -> None:
    case = at(PEAK - 14, bund=bund)
    found = standing_of(case, SEASON, COLD, "booting")
    assert found.flood_to_cm == aim
    assert found.too_deep_cm >= aim
    assert found.low_cm == aim - 3


@pytest.mark.parametrize(("bund", "aim"), [(None, 5), (8, 5), (5, 5), (4, 4), (1, 3)])
def test_no_flooding_is_asked_for_above_a_low_bund(bund: float | None, aim: float) -> None:
    """Below 3 cm the crop in flower would not be covered: then the bund is to be mended."""
    assert depth(at(30, bund=bund)).flood_to_cm == aim


def test_cold_never_floods_a_seedbed() -> None:
    season = Season("wet-seeded", PLANTED, duration_days=115)
    case = Case(PLANTED + days(4), PLOT, season)
    assert standing_of(case, season, COLD, "booting").flood_to_cm == 0


@pytest.mark.parametrize(
    ("tmax", "stage", "hot"),
    [(35, "flowering", True), (34.9, "flowering", False), (40, "panicle", False)],
)
def test_heat_counts_in_flower_alone(tmax: float, stage: str, hot: bool) -> None:
    """35 C at flowering: common practice."""
    case = replace(at(PEAK), weather=(WeatherDay(PLANTED + days(PEAK), tmin=26, tmax=tmax),))
    assert heat_of(case, stage, COLD) is hot  # type: ignore[arg-type]
    assert not heat_of(case, stage, PRACTICE)  # type: ignore[arg-type]
