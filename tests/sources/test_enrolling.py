"""Sheets of plots go into the store: added, put right, left alone, or refused whole."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import select

from gateway.advisory.errors import SheetRefused
from gateway.advisory.number import Number
from gateway.agronomy.plot import ThresholdRaised
from gateway.compose import House
from gateway.intake import enrol_plots
from gateway.store.tables.office import audit
from gateway.store.tables.places import grower
from gateway.store.tables.traffic import outbox
from tests.houses import PLAN, READER, TestHouse, open_test_house
from tests.sources.office import write

ANN = Number("+12025550110")
HEADER = (
    "block,outlet,plot,area_ha,bars,grower,phone,reads,method,established_on,duration_days,plan\n"
)
TWO = (
    "Upper,,H01,0.4,none,Ann B,+12025550110,soil,transplanted,2026-02-10,120,Invented plan\n"
    "Lower,L1,H02,,,Ben B,+12025550111,,wet-seeded,2026-02-12,,\n"
)


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A house with a scheme, its block Upper and its nitrogen plan, on each database in turn."""
    opened = open_test_house(database_url)
    with opened.house.store.begin() as unit:
        unit.schemes.add_plan(opened.scheme_id, PLAN)
        unit.commit()
    yield opened
    opened.house.store.close()


def enrol(house: House, folder: Path, text: str, check: bool = False) -> list[str]:
    changes = enrol_plots(house, write(folder, HEADER + text), check)
    return [str(each) for each in changes.all if each.how != "unchanged"]


def on_record(home: TestHouse):
    with home.house.store.begin(write=False) as unit:
        return unit.register.of(home.scheme_id)


def audited(home: TestHouse) -> list[tuple[str, dict]]:
    with home.house.store.begin_work(write=False) as work:
        return [(row.what, row.on) for row in work.rows(select(audit).order_by(audit.c.id))]


def test_a_sheet_brings_blocks_plots_people_and_crops(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    found = on_record(home)
    first, second = found.plots["H01"], found.plots["H02"]
    assert (found.blocks["Lower"].outlet, first.block, second.block) == ("L1", "Upper", "Lower")
    assert (first.plot.area_ha, first.plot.bars, second.plot.bars) == (0.4, frozenset(), None)
    assert (first.grower, first.readers[ANN].reads, first.readers[ANN].language) == (
        "Ann B",
        "soil",
        "en",
    )
    ((_, crop),) = first.seasons.items()
    assert (crop.season.method, crop.season.duration_days, crop.plan) == (
        "transplanted",
        120,
        "Invented plan",
    )
    (on,) = [on for what, on in audited(home) if what == "sheet enrolled"]
    assert {key: on[key] for key in ("new plots", "new readers", "new seasons")} == {
        "new plots": 2,
        "new readers": 2,
        "new seasons": 2,
    }


def test_a_grower_of_the_sheet_is_answered(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    (reply,) = home.text(ANN, "H01 -16")
    assert "H01" in reply
    assert "IRRIGATE" in reply


def test_the_same_sheet_again_changes_nothing(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    before, noted = on_record(home), audited(home)
    assert enrol(home.house, tmp_path, TWO) == []
    assert (on_record(home), audited(home)) == (before, noted)


def test_a_check_says_what_would_change_and_writes_nothing(home: TestHouse, tmp_path: Path) -> None:
    said = enrol(home.house, tmp_path, TWO, check=True)
    assert "new plot H01 (line 2)" in said
    assert "new reader of H01, phone •••••10 (line 2)" in said
    assert (on_record(home).plots, audited(home)) == ({}, [])


def test_what_is_told_anew_is_put_right_and_noted(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    more = TWO.replace("0.4,none", "0.5,saline;cracking").replace(",120,", ",113,")
    assert enrol(home.house, tmp_path, more) == [
        "changed plot H01 (line 2): area_ha 0.4 -> 0.5; bars none -> cracking;saline",
        "changed season of H01 from 2026-02-10 (line 2): duration_days 120 -> 113",
    ]
    plot = on_record(home).plots["H01"]
    assert (plot.plot.area_ha, plot.plot.bars) == (0.5, frozenset({"saline", "cracking"}))
    ((_, crop),) = plot.seasons.items()
    assert (crop.season.duration_days, crop.plan) == (113, "Invented plan")
    noted = dict(audited(home))
    assert (noted["plot changed"]["area_ha was"], noted["plot changed"]["area_ha now"]) == (
        0.4,
        0.5,
    )
    assert noted["season changed"]["duration_days now"] == 113


def test_a_planting_day_put_right_is_the_same_crop_and_the_next_crop_is_another(
    home: TestHouse, tmp_path: Path
) -> None:
    enrol(home.house, tmp_path, TWO)
    for day, was in (("2026-02-05", "2026-02-10"), ("2026-02-12", "2026-02-05")):
        assert enrol(home.house, tmp_path, f",,H01,,,,,,transplanted,{day},,\n") == [
            f"changed season of H01 from {day} (line 2): established_on {was} -> {day}"
        ]
    with home.house.store.begin(write=False) as unit:
        plot = unit.schemes.plot_id(home.scheme_id, "H01")
        season = unit.books.case(plot, home.clock.now()).case.season
    assert (season.established_on, season.duration_days) == (date(2026, 2, 12), 120)
    enrol(home.house, tmp_path, ",,H01,,,,,,transplanted,2026-06-20,,\n")
    assert len(on_record(home).plots["H01"].seasons) == 2


def test_a_nursery_goes_with_its_planting_day(home: TestHouse, tmp_path: Path) -> None:
    def tell(method: str, day: str, sown: str) -> list[str]:
        header = "plot,method,established_on,sown_on\n"
        path = write(tmp_path, f"{header}H01,{method},{day},{sown}\n")
        return [str(each) for each in enrol_plots(home.house, path, False).all]

    enrol(home.house, tmp_path, TWO)
    tell("transplanted", "2026-02-10", "2026-01-20")
    with pytest.raises(SheetRefused, match=r"csv:2 sown_on: the nursery is on record as sown 2026"):
        tell("transplanted", "2026-01-19", "")
    tell("wet-seeded", "2026-02-10", "")
    ((_, crop),) = on_record(home).plots["H01"].seasons.items()
    assert (crop.season.method, crop.season.sown_on) == ("wet-seeded", None)


FINER = (
    "plot,water_ec_ds_m,bund_cm,area_confirmed,method,established_on,crop_season,uneven,seedlings"
)


def test_the_finer_facts_of_plot_and_crop_are_taken_and_put_right(
    home: TestHouse, tmp_path: Path
) -> None:
    def tell(cells: str) -> list[str]:
        path = write(tmp_path, f"{FINER}\nH01,{cells}\n")
        changes = enrol_plots(home.house, path, False).all
        return [str(each) for each in changes if each.how == "changed"]

    enrol(home.house, tmp_path, TWO)
    assert tell("1.4,12,no,transplanted,2026-02-10,cool,yes,mechanical") == [
        "changed plot H01 (line 2): water_ec_ds_m not known -> 1.4; bund_cm not known -> 12; "
        "area_confirmed not known -> no",
        "changed season of H01 from 2026-02-10 (line 2): crop_season not known -> cool; "
        "uneven no -> yes; seedlings not known -> mechanical",
    ]
    assert tell(",,,transplanted,2026-02-10,,,") == []
    assert tell(",,yes,wet-seeded,2026-02-10,,no,") == [
        "changed plot H01 (line 2): area_confirmed no -> yes",
        "changed season of H01 from 2026-02-10 (line 2): method transplanted -> wet-seeded; "
        "uneven yes -> no",
    ]
    plot = on_record(home).plots["H01"]
    ((_, crop),) = plot.seasons.items()
    assert (plot.plot.water_ec_ds_m, plot.plot.bund_cm, plot.plot.area_confirmed) == (1.4, 12, True)
    assert (crop.season.crop_season, crop.season.uneven, crop.season.seedlings) == (
        "cool",
        False,
        None,
    )


def test_a_deeper_dry_limit_and_a_pump_are_taken_noted_and_taken_back(
    home: TestHouse, tmp_path: Path
) -> None:
    header = "plot,threshold_cm,raised_by,raised_on,raised_reason,water_source,pump_lps"

    def tell(cells: str) -> list[str]:
        changes = enrol_plots(home.house, write(tmp_path, f"{header}\nH02,{cells}\n"), False).all
        return [str(each) for each in changes if each.how == "changed"]

    enrol(home.house, tmp_path, TWO)
    deeper = "-20,A. Officer,2026-02-20,went well,own-pump,6"
    assert tell(deeper) == [
        "changed plot H02 (line 2): water_source not known -> own-pump; outlet_lps not known -> 6; "
        "threshold_cm not known -> -20; threshold_raised not known -> "
        "by A. Officer on 2026-02-20 from -15, went well"
    ]
    assert tell(deeper) == []
    raised = ThresholdRaised("A. Officer", date(2026, 2, 20), "went well", -15)
    plot = on_record(home).plots["H02"].plot
    assert (plot.threshold_cm, plot.threshold_raised, plot.outlet_lps) == (-20, raised, 6)
    (reply,) = home.text(Number("+12025550111"), "H02 -17")
    assert "20 cm below" in reply
    assert tell("-15,,,,gravity-turn,")
    plot = on_record(home).plots["H02"].plot
    assert (plot.threshold_cm, plot.threshold_raised, plot.outlet_lps) == (-15, None, None)
    noted = next(on for what, on in audited(home) if what == "plot changed")
    assert noted["threshold_raised now"] == "by A. Officer on 2026-02-20 from -15, went well"


def test_an_empty_cell_leaves_what_is_on_record(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    before = on_record(home)
    assert enrol(home.house, tmp_path, ",,H01,,,,,,,,,\n") == []
    assert on_record(home) == before


def test_a_second_phone_a_new_season_and_a_move_are_taken(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    more = (
        "Lower,,H01,,,Ann B,+12025550110,,,,,\n"
        ",,H01,,,Cid B,+12025550112,rim,transplanted,2026-06-20,,\n"
    )
    said = enrol(home.house, tmp_path, more)
    assert said == [
        "changed plot H01 (line 2): block Upper -> Lower",
        "new reader of H01, phone •••••12 (line 3)",
        "new season of H01 from 2026-06-20 (line 2)",
    ]
    plot = on_record(home).plots["H01"]
    assert (plot.block, len(plot.seasons), plot.grower) == ("Lower", 2, "Ann B")
    assert sorted(reader.grower for reader in plot.readers.values()) == ["Ann B", "Cid B"]


def test_a_phone_keeps_its_language_and_that_it_left(home: TestHouse, tmp_path: Path) -> None:
    home.add_plot("H07", READER, language="id")
    with home.house.store.begin() as unit:
        unit.people.set_left(home.phones[READER].id, True, home.clock.now())
        unit.commit()
    enrol(home.house, tmp_path, "Upper,,H08,,,Dan B,+12025550107,,,,,\n")
    with home.house.store.begin(write=False) as unit:
        phone = unit.people.phone(home.phones[READER].id)
        plots = [plot.code for plot in unit.people.plots_of(phone.id)]
    assert (phone.language, phone.left, plots) == ("id", True, ["H07", "H08"])


def test_one_grower_on_several_plots_is_one_and_a_namesake_is_another(
    home: TestHouse, tmp_path: Path
) -> None:
    text = (
        "Upper,,H01,,,Ann B,+12025550110,,,,,\n"
        "Upper,,H02,,,Ann B,+12025550110,,,,,\n"
        "Upper,,H02,,,Ann B,+12025550113,,,,,\n"
        "Upper,,H03,,,Ann B,+12025550111,,,,,\n"
    )
    enrol(home.house, tmp_path, text)
    assert enrol(home.house, tmp_path, text) == []
    plots = on_record(home).plots
    assert plots["H01"].grower_id == plots["H02"].grower_id != plots["H03"].grower_id
    with home.house.store.begin_work(write=False) as work:
        assert len(work.rows(select(grower))) == 2


def test_a_sheet_with_a_mistake_leaves_no_trace(home: TestHouse, tmp_path: Path) -> None:
    with pytest.raises(SheetRefused, match=r"sheet.csv:3 method: need one of"):
        enrol(home.house, tmp_path, TWO.replace("wet-seeded", "thrown"))
    assert (on_record(home).plots, audited(home)) == ({}, [])


@pytest.mark.parametrize("code", ["7", "NORTH", "H7 -12"])
def test_a_code_that_a_text_could_not_name_is_refused(
    home: TestHouse, tmp_path: Path, code: str
) -> None:
    with pytest.raises(SheetRefused, match="plot: need letters and a number such as H07"):
        enrol(home.house, tmp_path, f"Upper,,{code},,,,,,,,,\n")


def test_a_thousand_plots_are_enrolled_in_one_go(sqlite_url: str, tmp_path: Path) -> None:
    home = open_test_house(sqlite_url)
    # 555-0100 to 555-0199 are kept for fiction in each area code (NANP).
    numbers = [f"+1{area}55501{n:02d}" for area in range(202, 212) for n in range(100)]
    text = "".join(
        f"Upper,,P{n:03d},0.4,none,Grower {n},{numbers[n]},,transplanted,2026-02-10,120,\n"
        for n in range(1000)
    )
    assert len(enrol(home.house, tmp_path, text)) == 3000
    assert enrol(home.house, tmp_path, text) == []
    home.house.store.close()


def test_a_phone_becomes_the_lead_reader_of_its_block_and_stays_it(
    home: TestHouse, tmp_path: Path
) -> None:
    def told(role: str) -> list[str]:
        row = f"Upper,U1,H01,Ann B,+12025550141,{role},transplanted,2026-02-10,120\n"
        columns = "block,outlet,plot,grower,phone,role,method,established_on,duration_days\n"
        changes = enrol_plots(home.house, write(tmp_path, columns + row), False)
        return [str(each) for each in changes.all if each.what == "reader"]

    assert told("")[0].startswith("new reader of H01")
    assert told("lead reader")[0].endswith("role reader -> lead-reader")
    assert told("")[0].startswith("unchanged reader of H01")
    with home.house.store.begin(write=False) as unit:
        plot = unit.schemes.plot_id(home.scheme_id, "H01")
        assert [phone.number.masked[-2:] for phone in unit.people.leaders_of(plot)] == ["41"]


def test_who_reads_a_plot_is_told_of_another_phone_once(home: TestHouse, tmp_path: Path) -> None:
    enrol(home.house, tmp_path, TWO)
    another = "Upper,,H01,,,Ann B,+12025550112,,,,,\n"
    enrol(home.house, tmp_path, another, check=True)
    assert told_to(home, ANN) == []
    enrol(home.house, tmp_path, another)
    enrol(home.house, tmp_path, another)
    assert told_to(home, Number("+12025550112")) == []
    (text,) = told_to(home, ANN)
    assert "ends in 12 now reports plot H01 too" in text


def told_to(home: TestHouse, number: Number) -> list[str]:
    with home.house.store.begin() as unit:
        phone = unit.people.phone_of(home.scheme_id, number, home.clock.now())
    with home.house.store.begin_work(write=False) as work:
        rows = work.rows(select(outbox.c.text).where(outbox.c.phone_id == phone.id))
    return [row.text for row in rows]
