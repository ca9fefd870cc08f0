"""Gate keepers and pump operators: their short reports are kept with the outlet and answered."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from gateway.advisory.errors import SheetRefused
from gateway.advisory.joins import ReportLine
from gateway.advisory.number import Number
from gateway.intake import take_keepers
from gateway.messages.segments import count_segments
from tests.houses import READER, TestHouse, open_test_house

KEEPER = Number("+12025550142")
SHEET = "outlet,name,role,phone\nU1,Odo Ranel,pump-operator,+12025550142\n"


@pytest.fixture
def home(database_url: str, tmp_path: Path) -> Iterator[TestHouse]:
    """A house whose outlet U1 has a keeper, and B3, with plot K12 behind it, has none."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER)
    with opened.house.store.begin() as unit:
        unit.schemes.add_block(opened.scheme_id, "Lower", "B3", None)
        unit.commit()
    load(opened, tmp_path, SHEET)
    yield opened
    opened.close()


def load(home: TestHouse, folder: Path, text: str) -> list[str]:
    sheet = folder / "keepers.csv"
    sheet.write_text(text, "utf-8")
    return [str(change) for change in take_keepers(home.house, sheet, False).all]


def reports(home: TestHouse) -> list[ReportLine]:
    return home.house.store.people_views.reports(home.scheme_id, 10)


@pytest.mark.parametrize(
    ("text", "kind", "plot", "hours"),
    [
        ("DONE H07 3H", "done", "H07", 3),
        ("finished h7 2.5 hours", "done", "H07", 2.5),
        ("NO POWER", "no-power", None, None),
        ("BROKEN", "broken", None, None),
        ("U1 OPEN", "outlet-open", None, None),
        ("U1 SHUT", "outlet-shut", None, None),
    ],
)
def test_a_report_is_kept_with_its_outlet_and_answered_in_one_segment(
    home: TestHouse, text: str, kind: str, plot: str | None, hours: float | None
) -> None:
    (answer,) = home.text(KEEPER, text)
    assert count_segments(answer).segments == 1
    (line,) = reports(home)
    assert (line.kind, line.plot, line.hours) == (kind, plot, hours)
    assert (line.outlet, line.who) == ("U1", "Odo Ranel")


def test_a_report_on_an_outlet_of_somebody_else_is_not_kept(home: TestHouse) -> None:
    assert "nothing was saved" in home.text(KEEPER, "B3 OPEN")[0]
    assert reports(home) == []


def test_a_keeper_of_two_outlets_must_name_one(home: TestHouse, tmp_path: Path) -> None:
    load(home, tmp_path, SHEET.replace("U1,", "B3,"))
    assert "nothing was saved" in home.text(KEEPER, "NO POWER")[0]
    assert reports(home) == []
    home.text(KEEPER, "B3 NO POWER")
    assert [line.outlet for line in reports(home)] == ["B3"]


def test_wrong_takes_the_last_report_back(home: TestHouse) -> None:
    home.text(KEEPER, "U1 OPEN")
    assert "taken back" in home.text(KEEPER, "WRONG")[0]
    assert [line.taken_back for line in reports(home)] == [True]


def test_a_phone_without_an_outlet_reports_none(home: TestHouse) -> None:
    home.text(READER, "NO POWER")
    home.text(READER, "U1 OPEN")
    assert reports(home) == []


def test_a_keeper_may_read_plots_too(home: TestHouse) -> None:
    home.add_plot("K12", KEEPER)
    assert "10 cm BELOW" in home.text(KEEPER, "K12 BELOW 10")[0]
    home.text(KEEPER, "U1 SHUT")
    assert [line.kind for line in reports(home)] == ["outlet-shut"]


def test_a_keeper_may_leave_and_is_no_stranger(home: TestHouse) -> None:
    assert "not on the list" not in home.text(KEEPER, "who is this?")[0]
    assert "no more texts" in home.text(KEEPER, "STOP")[0]


def test_the_same_sheet_again_changes_nothing_and_another_name_is_put_right(
    home: TestHouse, tmp_path: Path
) -> None:
    (again,) = load(home, tmp_path, SHEET)
    (other,) = load(home, tmp_path, SHEET.replace("Odo Ranel", "Ila Ranel"))
    assert again.startswith("unchanged")
    assert "Odo Ranel -> Ila Ranel" in other


def test_a_mistake_in_the_sheet_is_told_with_line_and_column(
    home: TestHouse, tmp_path: Path
) -> None:
    wrong = SHEET + "U9,Nobody,chief,12\n"
    with pytest.raises(SheetRefused) as refused:
        load(home, tmp_path, wrong)
    told = str(refused.value)
    assert all(f":3 {column}: " in told for column in ("outlet", "role", "phone"))
