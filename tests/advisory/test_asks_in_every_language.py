"""What must be asked back is settled by its plain answer: one reading, and one advice for it."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, update

from gateway.advisory.number import Number
from gateway.agronomy.plot import Plot
from gateway.store.tables.places import plot
from gateway.store.tables.traffic import advice
from tests.houses import TestHouse, open_test_house
from tests.messages.corpora import LANGUAGES, cases_of, files_of

_BELOW = {
    "fr": "dessous",
    "id": "bawah",
    "fil": "ilalim",
    "vi": "dưới",
    "bn": "নিচে",
    "hi": "नीचे",
}
_PLOT = Plot("H07", 0.4, "clay-loam", 15.0, 20.0, bars=frozenset())  # its rim is not known
_FIRST_PHONE = 12025550100
_CODE = re.compile(r"\b[A-Z]\d\d\b")


def _asked(language: str) -> list[dict[str, Any]]:
    """Texts of its corpora that must be asked about, and tell what kind of question comes back.

    Left out are those of which a part is understood at once.
    """
    cases = cases_of(*files_of(language))
    asked = [case for case in cases if case["out"]["outcome"] == "ask" and case["out"].get("ask")]
    return [c for c in asked if "pending" not in c["in"] and not c["out"].get("readings")]


@pytest.fixture
def home(migrated_file: Path, tmp_path: Path) -> Iterator[TestHouse]:
    """A house on SQLite, without plots."""
    shutil.copy(migrated_file, tmp_path / "store.sqlite")
    opened = open_test_house(f"sqlite:///{tmp_path / 'store.sqlite'}")
    yield opened
    opened.close()


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_question_ends_in_one_reading_and_one_advice(home: TestHouse, language: str) -> None:
    cases = _asked(language)
    assert len(cases) >= 12
    for number, case in enumerate(cases):
        given, phone = case["in"], Number(f"+{_FIRST_PHONE + number}")
        habits = given.get("reads", {})
        ids = [
            home.add_plot(code, phone, plot=_PLOT, language=language, reads=habits.get(code))
            for code in given["plots"]
        ]
        _ends_well(home, phone, ids, case)
        _free_the_codes(home, ids)


def _ends_well(home: TestHouse, phone: Number, ids: list[int], case: dict[str, Any]) -> None:
    text = case["in"]["text"]
    assert len(home.text(phone, text)) == 1, text
    assert _readings(home, ids) == [0] * len(ids), text
    answer = _answer(case)
    replies = home.text(phone, answer)
    assert len(replies) == 1, (text, answer, replies)
    read = [int(code == _plot_of(case)) for code in case["in"]["plots"]]
    assert _readings(home, ids) == read, (text, answer, replies)
    assert _advices(home, ids) == 1, (text, answer, replies)


def _answer(case: dict[str, Any]) -> str:
    """The plainest answer: which plot, which side, or the whole reading anew."""
    plot, below = _plot_of(case), _BELOW[case["in"]["language"]]
    about = {ask.get("about") for ask in case["out"]["ask"]}
    others = set(_CODE.findall(case["in"]["text"])) - set(case["in"]["plots"])
    if about == {"plot"} and len(case["in"]["plots"]) > 1 and not others:
        return plot
    return below if about == {"sign"} else f"{plot} {below} 13"


def _plot_of(case: dict[str, Any]) -> str:
    """The plot that is asked about, else the first one."""
    asked = [ask.get("plot") for ask in case["out"]["ask"]]
    return next((str(code) for code in asked if code), str(case["in"]["plots"][0]))


def _readings(home: TestHouse, ids: list[int]) -> list[int]:
    with home.house.store.begin(write=False) as unit:
        rows = [unit.books.rows(plot_id) for plot_id in ids]
    return [[row.event.kind for row in book].count("reading") for book in rows]


def _advices(home: TestHouse, ids: list[int]) -> int:
    with home.house.store.begin_work(write=False) as work:
        return len(work.rows(select(advice.c.id).where(advice.c.plot_id.in_(ids))))


def _free_the_codes(home: TestHouse, ids: list[int]) -> None:
    """Give the plots other codes, so that the next text finds its own free."""
    with home.house.store.begin_work() as work:
        for plot_id in ids:
            work.run(update(plot).where(plot.c.id == plot_id).values(code=f"X{plot_id}"))
        work.conn.commit()
