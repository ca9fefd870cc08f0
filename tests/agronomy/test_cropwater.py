"""The Kc curve of rice: FAO-56 tables 11 and 12 (1.05 / 1.20 / 0.75, 30/30/60/30 days)."""

from pathlib import Path

import pytest

from gateway.agronomy.cropwater import KcCurve, kc_for_climate
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.rules import FILES, load_rulebook
from tests.agronomy.plots import FLOWS

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


def bent(folder: Path, climate: str) -> KcCurve:
    for name in FILES:
        text = (FLOWS / name).read_text("utf-8")
        old = "days: [30, 30, 60, 30]}"
        assert name != "practice.yaml" or old in text
        (folder / name).write_text(text.replace(old, old[:-1] + f", usual_climate: {climate}}}"))
    return load_rulebook(folder).practice.forecast.kc


def test_an_office_may_tell_its_usual_climate(tmp_path: Path) -> None:
    """Start stays; middle and end are bent (computed: 1.1137, and 0.75 - 0.0863)."""
    kc = bent(tmp_path, "{wind_ms: 1.5, rhmin: 70, height_m: 1}")
    assert kc.start == 1.05
    assert kc.middle == pytest.approx(1.1137, abs=1e-4)
    assert kc.end == pytest.approx(0.6637, abs=1e-4)


def test_a_climate_outside_the_equation_is_a_mistake_with_its_place(tmp_path: Path) -> None:
    with pytest.raises(FlowError, match=r"practice.yaml:\d+:\d+ wind_ms: need at least 1 and"):
        bent(tmp_path, "{wind_ms: 0.2, rhmin: 70, height_m: 1}")
