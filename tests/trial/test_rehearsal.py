"""A rehearsal: what leaves when, on a copy, with growers of every habit."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest
from click.testing import CliRunner
from sqlalchemy import func, select

from gateway.advisory.number import Number
from gateway.cli import main
from gateway.rehearse import NotRehearsable, Rehearsed, rehearse, told
from gateway.settings import shipped
from gateway.store.columns import metadata
from gateway.trial.paper import load_trial
from tests.houses import PLAN, TestHouse, open_test_house

DAYS = 3
PHONES = [Number(f"+120255501{number:02d}") for number in range(20, 30)]


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A scheme of six plots, each planted on another day, each with a phone of its own."""
    opened = open_test_house(database_url)
    for number, phone in enumerate(PHONES[:6]):
        plan = PLAN if number == 0 else None
        opened.add_plot(f"H{number + 1:02d}", phone, planted_days_ago=7 * number, plan=plan)
    yield opened
    opened.close()


def counts(home: TestHouse) -> dict[str, int]:
    """How many rows stand in each table."""
    with home.house.store.begin_work(write=False) as work:
        return {
            table.name: work.number(select(func.count()).select_from(table))
            for table in metadata.sorted_tables
        }


def lived(home: TestHouse, days: int = DAYS, seed: int = 7) -> tuple[Rehearsed, list[str]]:
    """A rehearsal from today on, lived to its end, and its lines."""
    last = home.today + timedelta(days=days - 1)
    rehearsed = rehearse(home.house, home.today, last, seed)
    return rehearsed, list(told(rehearsed))


def test_a_rehearsal_sends_what_is_owed_none_at_night_and_writes_nothing_into_the_store(
    home: TestHouse,
) -> None:
    home.house.papers  # noqa: B018 - kept in the store when first read
    before = counts(home)
    rehearsed, lines = lived(home)
    assert counts(home) == before
    assert sum(rehearsed.habits.values()) == 6
    assert rehearsed.summary.duties["reading-due"] > 0
    assert rehearsed.summary.texts_in > 0
    assert rehearsed.summary.at_night == rehearsed.summary.after_leaving == 0
    assert sum(line.startswith(("Tue", "Wed")) for line in lines) == 2
    assert not any(phone.reveal()[-10:] in line for line in lines for phone in PHONES)


# Days after planting on which each is owed first and last: a crop of 120 days, sown 20 days before
# planting, so with its peak of flowering on day 70 (the season's calendar is tested elsewhere).
OWED: dict[str, list[tuple[int, int]]] = {
    "place-tube": [(-7, -1)],
    "start-drying": [(7, 20)],
    "heads-asked": [(56, 60), (70, 74)],
    "flowering-begins": [(62, 65)],
    "flowering-ends": [(78, 81)],
    "last-irrigation": [(88, 91)],
    "harvest": [(100, 106)],
    "season-summary": [(102, 108)],
    "split-due": [(30, 40)],
    "split-ends": [(39, 40)],
}
SPAN = 12
HEADS_MOVE = 3
"""So many days heads that are told may move the end of a season."""


@pytest.fixture
def season(sqlite_url: str) -> Iterator[TestHouse]:
    """Plots side by side at every part of a season, so that some days show the whole of it."""
    opened = open_test_house(sqlite_url)
    for place, (duty, spans) in enumerate(OWED.items()):
        ago, splits = spans[0][0] - 4, duty.startswith("split")
        plan = replace(PLAN, name=f"Plan for {duty}") if splits else None
        opened.add_plot(f"H{place:02}", PHONES[place], planted_days_ago=ago, plan=plan)
    yield opened
    opened.close()


def test_a_season_has_every_duty_in_its_days_for_growers_of_every_habit(
    season: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    paper = load_trial(shipped("flows"))
    soon = replace(paper.rehearsal, leaves_within_days=SPAN)
    monkeypatch.setattr("gateway.rehearse.load_trial", lambda _: replace(paper, rehearsal=soon))
    last = season.today + timedelta(days=SPAN - 1)
    rehearsed = rehearse(season.house, season.today, last, 165)
    days = list(rehearsed.days)
    assert set(rehearsed.habits) == set(paper.rehearsal.habits)
    assert rehearsed.summary.at_night == rehearsed.summary.after_leaving == 0
    assert {"reading-due", "reading-missed", "dry-soon"} <= set(rehearsed.summary.duties)
    got = {(left.plots[0], left.parcel.topic): day.day for day in days for left in day.left}
    with season.house.store.begin(write=False) as unit:
        cases = list(unit.books.active_cases(season.scheme_id, season.clock.now()))
    planted = {c.case.plot.code: c.case.season.established_on for c in cases if c.case.season}
    for (plot, duty), day in got.items():
        age = (day - planted[plot]).days
        spans = OWED.get(duty, [(-100, 200)])
        near = (low - HEADS_MOVE <= age <= high + HEADS_MOVE for low, high in spans)
        assert any(near), (plot, duty, age)
    for place, duty in enumerate(OWED):
        plot = f"H{place:02}"
        assert (plot, duty) in got or rehearsed.habit_of[plot] == "leaving", (plot, duty)


@pytest.fixture
def small(sqlite_url: str) -> Iterator[TestHouse]:
    """One plot in a flowering crop."""
    opened = open_test_house(sqlite_url)
    opened.add_plot("H01", PHONES[0], planted_days_ago=60)
    yield opened
    opened.close()


def test_texts_at_night_and_after_leaving_would_be_seen(
    small: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the checks at the door the summary counts what ought not to have left."""
    monkeypatch.setattr("gateway.advisory.mayleave.CHECKS", ())
    monkeypatch.setattr("gateway.advisory.customs.Customs.next_open", lambda _self, at, _zone: at)
    late = timedelta(hours=16)
    monkeypatch.setattr("gateway.advisory.telling.spread_of", lambda _id, _span: late)
    rehearsed, lines = lived(small, days=5)
    assert rehearsed.summary.at_night > 0
    assert any(" NIGHT " in line for line in lines)


def test_who_leaves_gets_nothing_any_more(
    small: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    paper = load_trial(shipped("flows"))
    only = {"leaving": paper.rehearsal.habits["leaving"]}
    soon = replace(paper.rehearsal, habits=only, leaves_within_days=3)
    changed = replace(paper, rehearsal=soon)
    monkeypatch.setattr("gateway.rehearse.load_trial", lambda _flows: changed)
    rehearsed, lines = lived(small, days=8)
    assert rehearsed.habits == {"leaving": 1}
    assert rehearsed.summary.after_leaving == 0
    days = [line for line in lines if line.endswith(("text of the office", "texts of the office"))]
    assert len(days) == 8
    assert all(line.endswith(": 0 texts of the office") for line in days[3:])


def test_one_seed_gives_one_rehearsal(small: TestHouse) -> None:
    assert lived(small, days=3)[1] == lived(small, days=3)[1]


@pytest.mark.parametrize(
    ("first", "last", "cure"),
    [
        (date(2026, 3, 9), date(2026, 3, 12), "need a first day from 2026-03-10 on"),
        (date(2026, 3, 12), date(2026, 3, 11), "need a last day within 400 days"),
        (date(2026, 3, 12), date(2028, 3, 11), "need a last day within 400 days"),
    ],
)
def test_days_that_cannot_be_rehearsed_are_refused(
    small: TestHouse, first: date, last: date, cure: str
) -> None:
    with pytest.raises(NotRehearsable, match=cure):
        rehearse(small.house, first, last, 7)


def test_the_command_says_what_is_wrong(sqlite_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    open_test_house(sqlite_url).close()
    monkeypatch.setenv("GATEWAY_DATABASE_URL", sqlite_url)
    monkeypatch.setenv("GATEWAY_PHONE_KEYS", "a key for tests only and thirty-two long")
    asked = ["rehearse", "--from", "2020-01-01", "--to", "2020-02-01"]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 1
    assert "need a first day from" in result.output
