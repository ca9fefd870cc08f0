"""The Kc curve of rice: FAO-56 tables 11 and 12 (1.05 / 1.20 / 0.75, 30/30/60/30 days)."""

import pytest

from gateway.agronomy.cropwater import KcCurve, kc_for_climate

RICE = KcCurve(1.05, 1.20, 0.75, (30, 30, 60, 30))


@pytest.mark.parametrize(
    ("day", "kc"),
    [(1, 1.05), (30, 1.05), (45, 1.125), (60, 1.20), (120, 1.20), (135, 0.975), (150, 0.75)],
)
def test_kc_follows_its_curve(day: float, kc: float) -> None:
    assert RICE.at(day) == pytest.approx(kc)
    assert RICE.at(day * 110 / 150, duration=110) == pytest.approx(kc)


def test_kc_stays_at_its_end_after_the_last_day() -> None:
    assert RICE.at(400) == 0.75


@pytest.mark.parametrize(
    ("kc", "wind", "rhmin", "expected"),  # equation 62 at h = 1 m, computed
    [
        (1.20, 1.5, 70, 1.1137),
        (1.20, 3.0, 30, 1.2719),
        (0.90, 1.5, 70, 0.8137),
        (0.60, 1.5, 70, 0.5137),
        (0.45, 1.5, 70, 0.45),
    ],
)
def test_kc_bends_to_the_climate(kc: float, wind: float, rhmin: float, expected: float) -> None:
    assert kc_for_climate(kc, wind, rhmin, 1.0) == pytest.approx(expected, abs=1e-4)
