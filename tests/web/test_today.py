"""Today: what the office must see, on real parts."""

from dataclasses import replace

import pytest

from gateway.agronomy.plot import Plot, ThresholdRaised
from tests.houses import PLAN, READER, STRANGER, TestHouse
from tests.web.conftest import Visitor


def know(place: TestHouse, code: str, **facts: object) -> None:
    with place.house.store.begin() as unit:
        known = unit.register.of(place.scheme_id).plots[code]
        plot = replace(known.plot, **facts)  # type: ignore[arg-type]
        unit.register.change_plot(known.id, place.block_id, plot)
        unit.commit()


def part(html: str, title: str) -> str:
    return html.partition(f">{title}</h2>")[2].partition("</section>")[0]


def test_nothing_to_see_is_said_in_words(place: TestHouse, officer: Visitor) -> None:
    html = officer.get("/today").text
    assert "No plot has salty canal water on record." in part(html, "Water to be checked first")
    assert "Nobody has reported that no water came." in part(html, "No water came")
    assert "No plot is barred from drying." in part(html, "Plots that may not dry")


def test_salty_canal_water_is_listed_for_the_office(place: TestHouse, officer: Visitor) -> None:
    know(place, "H07", bars=frozenset({"salty-water"}))
    found = part(officer.get("/today").text, "Water to be checked first")
    assert "H07" in found
    assert "salty canal water" in found


@pytest.mark.parametrize(
    "facts",
    [{"bars": frozenset({"cadmium"})}, {"water_ec_ds_m": 2.5, "bars": frozenset()}],
    ids=["told", "measured"],
)
def test_a_plot_that_may_not_dry_is_listed(
    place: TestHouse, officer: Visitor, facts: dict[str, object]
) -> None:
    know(place, "H07", **facts)
    html = officer.get("/today").text
    assert "H07" in part(html, "Plots that may not dry")
    assert "H07" not in part(html, "Water to be checked first")
    know(place, "H07", bars=frozenset({"cracking"}), water_ec_ds_m=1.0)
    assert "H07" not in officer.get("/today").text


def test_reports_of_no_water_are_counted_by_block(place: TestHouse, officer: Visitor) -> None:
    place.add_plot("H08", STRANGER)
    place.add_plot("H09", STRANGER)
    place.text(READER, "H07 NO WATER")
    place.text(READER, "H07 NO WATER")
    place.text(STRANGER, "H08 NO WATER")
    found = part(officer.get("/today").text, "No water came")
    assert "2 of 3" in found
    assert ">3<" in found
    assert "Tue 10 Mar 2026" in found
    place.text(STRANGER, "H08 WRONG")
    assert "1 of 3" in part(officer.get("/today").text, "No water came")


def test_a_plot_s_page_names_who_allowed_what(place: TestHouse, officer: Visitor) -> None:
    raised = ThresholdRaised("A. Officer", place.today, "went well", -15)
    about = Plot("H08", threshold_cm=-20, threshold_raised=raised, water_source="hired-pump")
    place.add_plot("H08", STRANGER, plot=about, plan=PLAN)
    html = officer.get("/plots/H08").text
    for shown in (
        "20 cm below the soil allowed by A. Officer on Tue 10 Mar 2026: went well",
        "a hired pump",
        "Invented plan",
        "approved by A. Approver on Mon 5 Jan 2026; source: plan of the invented office",
    ):
        assert shown in html, shown
