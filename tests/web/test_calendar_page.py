"""The pages of the calendar: what is coming, what was owed to whom, from whom no word comes."""

from datetime import timedelta

import pytest

from tests.houses import READER, TestHouse
from tests.web.conftest import Visitor


@pytest.fixture
def owing(place: TestHouse) -> TestHouse:
    """A plot whose flowering window opens tomorrow, owed and sent, and one long before it."""
    place.add_plot("K12", READER, planted_days_ago=62)
    place.add_plot("K13", READER, planted_days_ago=50)
    place.house.owe()
    place.clock.move(timedelta(hours=1))
    place.settle()
    return place


def test_what_was_owed_is_shown_with_phone_text_and_state(
    owing: TestHouse, officer: Visitor
) -> None:
    page = officer.get("/calendar?duty=flowering-begins").text
    assert "Flowering window begins" in page
    assert "K12 will flower soon" in page
    assert "with the operator" in page or "delivered" in page
    assert "From here to the end of the window" in page
    assert READER.reveal() not in page
    assert "K13 will flower" not in page


@pytest.mark.parametrize(
    ("query", "there"),
    [
        ("plot=k12", True),
        ("plot=K13", False),
        ("block=Upper", True),
        ("block=Nowhere", False),
        ("from=2026-03-10&to=2026-03-10", True),
        ("from=2026-03-11", False),
        ("state=withdrawn", False),
        ("duty=no-such&from=junk&page=zero", True),
    ],
)
def test_the_filter_keeps_what_is_wanted(
    owing: TestHouse, officer: Visitor, query: str, there: bool
) -> None:
    answer = officer.get(f"/calendar?{query}")
    assert answer.status_code == 200
    assert ("K12 will flower soon" in answer.text) is there


def test_what_is_coming_stands_on_its_day(owing: TestHouse, officer: Visitor) -> None:
    page = officer.get("/calendar?plot=K13").text
    coming = page[page.index("Coming in") : page.index("Owed so far")]
    assert "Mon 16 Mar" in coming  # heads are asked for 14 days before the peak at day 70
    assert "Heads asked for" in coming
    assert "Sun 22 Mar" in coming  # the day before the window opens
    assert "Flowering window begins" in coming


def test_too_many_plots_are_not_reckoned_but_said(
    owing: TestHouse, officer: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gateway.advisory.ahead.MOST_PLOTS", 1)
    assert "Choose a block or a plot" in officer.get("/calendar").text


def test_the_silent_are_listed_with_their_days_and_last_words(
    owing: TestHouse, officer: Visitor
) -> None:
    assert "Every reading that was asked for has come" in officer.get("/calendar/silent").text
    owing.text(READER, "K13 HELP 12025550143")
    owing.clock.move(timedelta(days=4))
    page = officer.get("/calendar/silent").text
    assert "K13" in page
    assert "4 days" in page
    assert "K13 HELP" in page
    assert "12025550143" not in page
    owing.text(READER, "K13 BELOW 8")
    assert "/plots/K13" not in officer.get("/calendar/silent").text


def test_the_page_needs_somebody_signed_in(owing: TestHouse, visitor: Visitor) -> None:
    assert visitor.get("/calendar").status_code == 302
    assert visitor.get("/calendar/silent").status_code == 302
