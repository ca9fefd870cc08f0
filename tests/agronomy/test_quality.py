"""Readings that look made up, doses that must be asked about, and salt that was measured."""

from dataclasses import replace

import pytest

from gateway.agronomy.bars import bars_of, effect_of
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.nitrogen import dose_doubts
from gateway.agronomy.plot import Plot
from gateway.agronomy.quality import flags_of
from gateway.agronomy.season import Split
from tests.agronomy.plots import PLANTED, SEASON, book, days, in_stage

PRACTICE = book().practice


def read(*levels: float | None) -> Case:
    """One reading a day from the planting on; None is a dry tube."""
    events = tuple(
        Event("reading", PLANTED + days(n), level_cm=level, dry=level is None)
        for n, level in enumerate(levels, start=1)
    )
    return Case(PLANTED + days(len(levels)), Plot("H07"), SEASON, events)


@pytest.mark.parametrize(
    ("levels", "flags"),
    [
        ([-7, -7, -7], set()),
        ([-7, -7, -7, -7], {"same-number-again"}),
        ([-7, -7, None, -7, -7], {"same-number-again"}),
        ([-7, -7, -7, -7, -9], set()),
        ([0, -5, -10, 5, 0, -5], {"round-numbers-only"}),
        ([0, -5, -10, 5, 0], set()),
        ([0, -5, -10, 4, 0, -5], set()),
        ([-3, 0, -5, -10, 5, 0, -5], {"round-numbers-only"}),
        ([-10] * 6, {"same-number-again", "round-numbers-only"}),
        ([], set()),
    ],
)
def test_the_same_number_and_round_numbers_are_flagged(
    levels: list[float | None], flags: set[str]
) -> None:
    """Four times the same, and six round ones: common practice, no source."""
    assert set(flags_of(read(*levels), PRACTICE.quality)) == flags


def test_a_number_that_the_office_distrusts_is_named_on_its_day() -> None:
    event = Event("reading", PLANTED + days(30), level_cm=-8, doubtful=True)
    case = Case(event.on, Plot("H07"), SEASON, (event,))
    assert set(flags_of(case, PRACTICE.quality)) == {"reading-marked-doubtful"}
    assert set(flags_of(replace(case, as_of=event.on + days(1)), PRACTICE.quality)) == set()


@pytest.mark.parametrize(
    ("kg_ha", "plan", "confirmed", "doubts"),
    [
        (65, None, None, ()),
        (65, 26, True, ()),
        (65, 22, True, ()),
        (65, 21.6, True, ("dose-above-plan",)),
        (65, None, False, ("area-not-confirmed",)),
        (65, 10, False, ("area-not-confirmed", "dose-above-plan")),
        (None, 10, False, ()),
    ],
)
def test_a_dose_is_asked_about_when_it_exceeds_the_plan_by_a_fifth(
    kg_ha: float | None, plan: float | None, confirmed: bool | None, doubts: tuple[str, ...]
) -> None:
    """0.4 ha x 65 kg/ha is 26 kg, which is 1.2 times 21.67 kg."""
    case = in_stage("tillering", -6)
    case = replace(case, plot=replace(case.plot, area_confirmed=confirmed))
    split = Split(case.as_of, case.as_of, kg_ha, "UREA", plan)
    assert dose_doubts(case, split, PRACTICE.nitrogen) == doubts


@pytest.mark.parametrize(
    ("salt", "effect"),
    [(None, "none"), (0.4, "none"), (1.9, "none"), (1.91, "keep-flooded"), (9, "keep-flooded")],
)
def test_field_water_above_the_published_limit_bars_drying(salt: float | None, effect: str) -> None:
    """Yield falls above 1.9 dS/m in the field water (Zeng, Shannon and Roberts 2002, California
    Agriculture 56(6):189-198)."""
    plot = Plot("H07", bars=frozenset({"cracking"}), water_ec_ds_m=salt)
    case = Case(PLANTED, plot, SEASON)
    assert effect_of(case, PRACTICE) == effect
    assert bars_of(case, PRACTICE) >= {"cracking"}


def test_salty_canal_water_outweighs_every_other_bar() -> None:
    bars = frozenset({"saline", "salty-water", "cracking"})
    assert effect_of(Case(PLANTED, Plot("H07", bars=bars), SEASON), PRACTICE) == "ask"
