"""The shipped calendar through a season: each duty where agronomy wants it, by the plot's facts."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from tests.houses import PLAN, READER, TestHouse

CHECKED = Plot("K12", 0.4, "clay-loam", 15.0, 20.0, 20.0, bars=frozenset())
TELLING = frozenset({"place-tube", "reading-due"})
"""Asked for beside what a case is about, wherever nobody reads the plot."""


def seeded(days_ago: int) -> Callable[[date], Season]:
    return lambda today: Season("wet-seeded", today - timedelta(days=days_ago), None, 110)


def tell(home: TestHouse, plot_id: int, kind: str, days_ago: int, **fields: object) -> None:
    """Something that the reader told so many days ago."""
    with home.house.store.begin() as unit:
        event = Event(kind, home.today - timedelta(days=days_ago), at=time(7), **fields)  # type: ignore[arg-type]
        unit.books.append(plot_id, event, "reader", home.clock.now())
        unit.commit()


def owed(home: TestHouse, plot_id: int) -> dict[str, str]:
    """Each duty that is owed of a plot today, and the first text of it; nothing where no phone."""
    home.house.owe()
    with home.house.store.begin(write=False) as unit:
        season = unit.books.case(plot_id, home.clock.now()).season_id
        rows = unit.duties.owed([season]) if season else []
        texts = {row.duty: unit.duties.texts(row.id) for row in rows}
    return {duty: those[0].text if those else "" for duty, those in texts.items()}


@pytest.mark.parametrize(
    ("planted_days_ago", "told", "duty", "said"),
    [
        pytest.param(-7, [], "place-tube", "FIRST set the field tube", id="a week before planting"),
        pytest.param(-8, [], None, "", id="earlier than that nothing"),
        pytest.param(3, [], None, "", id="rooting: nobody is asked to look"),
        pytest.param(7, [], "start-drying", "FEW weeds? ADD NO WATER", id="a week after planting"),
        pytest.param(7, [("weeds", 0, {"amount": "few"})], "start-drying", "is rooted",
                     id="weeds answered already"),
        pytest.param(20, [("weeds", 7, {"amount": "many"})], None, "",
                     id="many weeds: water stays on"),
        pytest.param(24, [("weeds", 14, {"amount": "many"}), ("reading", 1, {"level_cm": 4})],
                     "weeds-again", "how are the weeds", id="asked again after two weeks"),
        pytest.param(31, [("weeds", 21, {"amount": "many"}), ("reading", 1, {"level_cm": 4})],
                     "weeds-again", "how are the weeds", id="and after three"),
        pytest.param(31, [("weeds", 21, {"amount": "many"}), ("weeds", 3, {"amount": "few"}),
                          ("reading", 1, {"level_cm": 4})], None, "", id="not once they are few"),
        pytest.param(56, [("reading", 1, {"level_cm": -3})], "heads-asked", "HALF of the heads",
                     id="heads asked for from 14 days before the peak"),
        pytest.param(62, [("reading", 1, {"level_cm": 4})], "flowering-begins",
                     "KEEP 5 cm water", id="the window begins"),
        pytest.param(78, [("reading", 1, {"level_cm": 4})], "flowering-ends",
                     "flowering is over", id="the window has ended"),
        pytest.param(88, [("reading", 1, {"level_cm": 4})], "last-irrigation",
                     "NO MORE WATER after", id="two days before the last irrigation"),
        pytest.param(100, [], "harvest", "HARVEST 30 BAGS", id="maturity"),
        pytest.param(102, [("harvest", 2, {})], "season-summary", "season is done",
                     id="two days after the harvest"),
        pytest.param(115, [("harvest", 15, {})], None, "", id="long after it nothing"),
    ],
)  # fmt: skip
def test_a_duty_is_owed_on_its_day(
    home: TestHouse,
    planted_days_ago: int,
    told: list[tuple[str, int, dict[str, object]]],
    duty: str | None,
    said: str,
) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=planted_days_ago, plot=CHECKED)
    for kind, days_ago, fields in told:
        tell(home, plot_id, kind, days_ago, **fields)
    found = {name: text for name, text in owed(home, plot_id).items() if name != "reading-due"}
    assert set(found) == ({duty} if duty else set())
    assert said in found.get(duty or "", "")


def test_drying_waits_until_an_officer_has_said_what_the_soil_bears(home: TestHouse) -> None:
    unchecked = home.add_plot("K12", READER, planted_days_ago=7, plot=replace(CHECKED, bars=None))
    barred = home.add_plot(
        "K13", READER, planted_days_ago=7, plot=replace(CHECKED, bars=frozenset({"saline"}))
    )
    assert owed(home, unchecked) == {}
    assert owed(home, barred) == {}


@pytest.mark.parametrize(("sown_days_ago", "duty"), [(14, "tall-asked"), (21, "start-drying")])
def test_a_seeded_stand_is_asked_for_its_height_before_it_may_dry(
    home: TestHouse, sown_days_ago: int, duty: str
) -> None:
    season = seeded(sown_days_ago)(home.today)
    plot_id = home.add_plot("K12", READER, plot=CHECKED, season=season)
    assert set(owed(home, plot_id)) - TELLING == {duty}


# -- nitrogen -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("level", "water", "said"),
    [
        pytest.param(-3, "sure", "FERTILISE by Fri 20 Mar while no water stands: UREA 26 kg",
                     id="bare soil and sure water"),
        pytest.param(-3, "unknown", "ONLY IF WATER IS SURE fertilise", id="supply not known"),
        pytest.param(4, "sure", "ADD NO WATER until none stands", id="standing water falls first"),
        pytest.param(None, "sure", "First LOOK in the tube", id="nobody looked for long"),
        pytest.param(-3, "late", None, id="no sure water yet: it waits"),
    ],
)  # fmt: skip
def test_a_split_is_joined_to_the_water_and_to_sure_supply(
    home: TestHouse, level: float | None, water: str, said: str | None
) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=30, plot=CHECKED, plan=PLAN)
    if level is not None:
        tell(home, plot_id, "reading", 0, level_cm=level)
    starts = home.today + timedelta(days=6 if water == "late" else 0)
    if water != "unknown":
        home.sure_water(WaterWindow(starts, starts + timedelta(days=1), True))
    found = owed(home, plot_id)
    assert ("split-due" in found) == (said is not None)
    assert (said or "") in found.get("split-due", "")


def test_a_split_that_waits_is_owed_once_water_is_sure(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=30, plot=CHECKED, plan=PLAN)
    turn = home.today + timedelta(days=4)
    home.sure_water(WaterWindow(turn, turn, True))
    tell(home, plot_id, "reading", 0, level_cm=-3)
    assert "split-due" not in owed(home, plot_id)
    home.clock.move(timedelta(days=3))
    tell(home, plot_id, "reading", 0, level_cm=-8)
    assert "FERTILISE by" in owed(home, plot_id)["split-due"]


def test_no_split_lapses_silently(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=39, plot=CHECKED, plan=PLAN)
    tell(home, plot_id, "reading", 0, level_cm=9)
    assert "time for fertiliser ends" in owed(home, plot_id)["split-ends"]


def test_a_split_that_was_reported_is_not_asked_for(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=39, plot=CHECKED, plan=PLAN)
    tell(home, plot_id, "nitrogen", 3)
    assert not {"split-due", "split-ends"} & set(owed(home, plot_id))


def test_a_dose_is_never_told_for_an_area_that_is_not_confirmed(home: TestHouse) -> None:
    plot = replace(CHECKED, area_confirmed=False)
    plot_id = home.add_plot("K12", READER, planted_days_ago=30, plot=plot, plan=PLAN)
    tell(home, plot_id, "reading", 0, level_cm=-3)
    text = owed(home, plot_id)["split-due"]
    assert "by the approved plan" in text
    assert "kg" not in text


# -- moving anchors -------------------------------------------------------------------------------


def test_a_heading_report_takes_back_the_question_for_heads(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=69, plot=CHECKED)
    home.house.simulators["simulator"].behave(link_down=True)
    home.clock.move(timedelta(hours=16))  # the small hours of the next day
    assert "heads-asked" in owed(home, plot_id)
    tell(home, plot_id, "heading", 0)
    home.house.owe()
    with home.house.store.begin(write=False) as unit:
        season = unit.books.case(plot_id, home.clock.now()).season_id
        rows = [row for row in unit.duties.owed([season or 0]) if row.duty == "heads-asked"]
        (text,) = unit.duties.texts(rows[0].id)
    assert rows[0].taken_back
    assert text.state == "withdrawn"


def test_early_heads_move_the_end_of_the_season_with_them(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", READER, planted_days_ago=88, plot=CHECKED)
    tell(home, plot_id, "reading", 1, level_cm=4)
    assert "last-irrigation" in owed(home, plot_id)
    home.settle()
    home.clock.move(timedelta(hours=2))
    home.settle()
    tell(home, plot_id, "heading", 10)  # peak ten days later than was reckoned
    assert "last-irrigation" in owed(home, plot_id)
    home.clock.move(timedelta(days=10))
    tell(home, plot_id, "reading", 0, level_cm=4)
    home.house.owe()
    with home.house.store.begin(write=False) as unit:
        season = unit.books.case(plot_id, home.clock.now()).season_id
        rows = [row for row in unit.duties.owed([season or 0]) if row.duty == "last-irrigation"]
    assert [row.revision for row in rows] == [2]


def test_what_waited_a_day_names_the_day_on_which_it_leaves(home: TestHouse) -> None:
    home.add_plot("K12", READER, planted_days_ago=78, plot=CHECKED)
    simulator = home.house.simulators["simulator"]
    simulator.behave(link_down=True)
    home.house.owe()
    home.settle()
    home.clock.move(timedelta(days=1))
    home.house.owe()
    simulator.behave(link_down=False)
    home.clock.move(timedelta(hours=1))
    home.settle()
    said = [each.text for each in simulator.inbox(READER) if "flowering is over" in each.text]
    assert ["Wed 11 Mar" in text for text in said] == [True]
