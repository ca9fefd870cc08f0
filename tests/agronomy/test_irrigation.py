"""Depths, volumes and hours, against published factors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.agronomy.irrigation import depth_mm, fill, outlet_hours, volume_m3

# FAO Irrigation Water Management Training Manual 6: 1 mm on 1 ha is 10 m3; 1 L/s/ha is 8.64 mm/d.
CASES = [(1, 50, 30, 500, 4.63), (0.4, 65, 10, 260, 7.22)]


@pytest.mark.parametrize(("area", "mm", "lps", "m3", "hours"), CASES, ids=["1 ha", "0.4 ha"])
def test_volume_and_hours_follow_the_manual(
    area: float, mm: float, lps: float, m3: float, hours: float
) -> None:
    assert volume_m3(mm, area) == pytest.approx(m3)
    assert outlet_hours(m3, lps) == pytest.approx(hours, abs=0.005)


def test_one_litre_a_second_on_a_hectare_is_8_64_mm_a_day() -> None:
    assert outlet_hours(volume_m3(8.64, 1), 1) == pytest.approx(24)


@pytest.mark.parametrize(
    ("storage", "mm"), [(0.2, 53), (1, 65), (1.5, 72.5), (2, 80), (3, 95)], ids=str
)
def test_a_reflood_from_15_below_to_5_above_is_50_mm_and_15_times_the_storage(
    storage: float, mm: float
) -> None:
    """Two-segment balance: 10 mm a cm above the surface, the storage below it."""
    assert depth_mm(-15, 5, storage) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("level", "to", "mm"),
    [(1, 5, 40), (5, 5, 0), (8, 5, 0), (-4, 0, 6), (0, 0, 0)],
    ids=["top-up", "full", "fuller", "to saturation", "saturated"],
)
def test_the_depth_is_never_negative(level: float, to: float, mm: float) -> None:
    assert depth_mm(level, to, 1.5) == pytest.approx(mm)


def test_the_loss_while_filling_is_part_of_the_water() -> None:
    """0.4 ha, 10 L/s give 9 mm/h; at 12 mm/d the outlet's 216 mm/d lose 1/18 on the way."""
    found = fill(65, 12, 0.4, 10, usual_hours=12)
    assert found.mm == pytest.approx(65 / (1 - 12 / 216), abs=0.05)
    assert found.m3 == pytest.approx(4 * found.mm)
    assert found.hours == pytest.approx(found.m3 / 36, abs=0.001)  # 3.6 x 10 L/s


def test_without_an_outlet_the_loss_is_that_of_the_usual_hours() -> None:
    found = fill(65, 12, 0.4, None, usual_hours=12)
    assert (found.mm, found.m3, found.hours) == (71.0, 284.0, None)
    assert fill(65, 12, None, 10, usual_hours=12).m3 is None


def test_an_outlet_that_loses_the_race_is_told() -> None:
    found = fill(65, 60, 2, 10, usual_hours=12)  # 43 mm/d come, 60 go
    assert not found.keeps_up
    assert found.hours is None


@given(
    net=st.floats(0, 200),
    loss=st.floats(0, 80),
    area=st.floats(0.01, 20),
    lps=st.floats(0.1, 200),
)
def test_filling_always_takes_at_least_the_net_depth(
    net: float, loss: float, area: float, lps: float
) -> None:
    found = fill(net, loss, area, lps, usual_hours=12)
    assert found.mm >= round(net, 1)
    assert found.m3 is not None
    assert (found.hours is None) == (not found.keeps_up)
