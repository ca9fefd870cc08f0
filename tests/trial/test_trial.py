"""The trial as a whole: what stands in the store after half a season, and what it is good for."""

import re
import shutil
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest

from gateway.advisory.advise import judge_plot
from gateway.advisory.errors import AlreadyOnRecord
from gateway.advisory.parcels import State
from gateway.advisory.views import LogFilter, LogLine
from gateway.agronomy.advice import Stage
from gateway.messages.segments import count_segments
from gateway.settings import shipped
from gateway.trial.make import make_trial
from gateway.trial.paper import TrialPaper, load_trial
from gateway.trial.parts import Hint, TrialHints
from tests.trial.houses import TrialHouse, lived, only, open_trial_house, shorter

PAPER = load_trial(shipped("flows"))
TODAY = date(2026, 11, 25)
SHOWN = tuple(dict.fromkeys(tried.plot for tried in PAPER.tries))
# 555-0100 to 555-0199 of any area are kept for fiction (North American Numbering Plan).
FICTIONAL = re.compile(r"\+1[2-9]\d\d55501\d\d")


def opened_again(made: Path, at: Path, paper: TrialPaper, hints: TrialHints) -> TrialHouse:
    """A house on a copy of a store in which a trial was made."""
    shutil.copy(made, at)
    home = open_trial_house(at, paper, hints.today)
    home.hints = hints
    return home


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, TrialHints]:
    """The file of the whole trial, made once."""
    path = tmp_path_factory.mktemp("trial") / "gateway.db"
    home = lived(path, PAPER, TODAY)
    home.house.store.close()
    return path, home.told


@pytest.fixture(scope="module")
def home(
    made: tuple[Path, TrialHints], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[TrialHouse]:
    """A house on the whole trial; nothing is texted in it."""
    path, hints = made
    opened = opened_again(path, tmp_path_factory.mktemp("read") / "gateway.db", PAPER, hints)
    yield opened
    opened.house.store.close()


@pytest.fixture(scope="module")
def lines(home: TrialHouse) -> list[LogLine]:
    """Every line of its reply log."""
    page = home.house.store.views.reply_log(home.house.scheme.id, LogFilter(), 1, 5000)
    assert page.pages == 1
    return list(page.lines)


def test_every_stage_stands_in_some_field_on_the_day(home: TrialHouse) -> None:
    eve = datetime(2026, 11, 25, 1, tzinfo=UTC)  # 08:00 in the scheme's zone
    with home.house.store.begin(write=False) as unit:
        ids = [unit.schemes.plot_id(home.house.scheme.id, code) for code in PAPER.plots]
        stages = [judge_plot(unit, home.house.papers, i, eve)[1].stage for i in ids]
    assert set(stages) == set(get_args(Stage))
    assert len(stages) == 60


def test_nothing_went_wrong_on_the_way(lines: list[LogLine]) -> None:
    assert [line for line in lines if line.outcome == "failed" or line.failure] == []


def test_growers_wrote_every_kind_of_text(lines: list[LogLine]) -> None:
    outcomes = Counter(line.outcome for line in lines if line.body is not None)
    assert outcomes["accept"] > 300
    assert outcomes["ask"] > 5
    assert outcomes["reject"] > 0


def test_every_text_out_came_to_its_end(lines: list[LogLine]) -> None:
    states = Counter(s.state for line in lines if line.body is not None for s in line.sent)
    assert states[State.DELIVERED] > 300
    assert states[State.UNDELIVERABLE] > 0
    ended = {State.DELIVERED, State.UNDELIVERABLE, State.EXPIRED, State.HANDED_OVER}
    assert set(states) <= ended
    # What the office starts may be needed no longer before it leaves, or wait for the next week.
    started = Counter(s.state for line in lines if line.body is None for s in line.sent)
    assert set(started) <= {*ended, State.WITHDRAWN, State.HELD, State.WAITING}
    assert started[State.DELIVERED] > started[State.WITHDRAWN]


def test_the_calendar_started_texts_of_its_own(lines: list[LogLine]) -> None:
    started = [line for line in lines if line.body is None]
    assert len(started) >= 8
    assert all(sent.text.startswith(PAPER.scheme.short_name) for x in started for sent in x.sent)


def test_nothing_in_the_history_is_of_the_day_itself_or_later(lines: list[LogLine]) -> None:
    day_begins = datetime(2026, 11, 24, 17, tzinfo=UTC)  # midnight in the scheme's zone
    assert max(line.at for line in lines) < day_begins
    assert max(s.state_at for line in lines for s in line.sent) < day_begins


def test_a_number_that_reads_no_plot_is_told_nothing_of_one(lines: list[LogLine]) -> None:
    strange = [line for line in lines if line.body and not line.plots and line.body == "H07 -12"]
    assert strange
    assert not any("H07" in sent.text for line in strange for sent in line.sent)


def test_every_advice_is_given_again_just_as_it_was(home: TrialHouse, lines: list[LogLine]) -> None:
    ids = [sent.advice_id for line in lines for sent in line.sent if sent.advice_id]
    picked = ids[:: max(1, len(ids) // 40)]
    assert len(picked) > 30
    assert [i for i in picked if not home.house.explain(i).same] == []


def test_every_phone_is_of_the_numbers_kept_for_fiction(home: TrialHouse) -> None:
    with home.house.store.begin(write=False) as unit:
        phones = [
            phone.number.reveal()
            for code in PAPER.plots
            for phone in unit.people.readers_of(unit.schemes.plot_id(home.house.scheme.id, code))
        ]
    assert len(phones) == 60
    assert [n for n in phones if not FICTIONAL.fullmatch(n)] == []
    assert any(phones.count(number) > 2 for number in phones)


def test_a_trial_never_stands_beside_a_scheme_on_record(home: TrialHouse) -> None:
    with pytest.raises(AlreadyOnRecord, match="tamberel"):
        make_trial(home.parts, TODAY, 7)


# -- what is to be tried --------------------------------------------------------------------------


def comes_of(home: TrialHouse, hint: Hint) -> None:
    """Text it from the phone that the hint names, and check what comes."""
    tried = hint.tried
    (reply,) = home.text(hint.number, tried.text)
    assert count_segments(reply).segments == 1
    if tried.asks:
        assert "BELOW" in reply
        assert "ABOVE" in reply
        (reply,) = home.text(hint.number, "below")
        assert "BELOW" in reply
        return
    record = home.latest(tried.plot)
    assert record
    assert record.text == reply
    assert record.advice.action == tried.action


def test_the_hints_hold_one_after_the_other(made: tuple[Path, TrialHints], tmp_path: Path) -> None:
    path, hints = made
    home = opened_again(path, tmp_path / "gateway.db", PAPER, hints)
    home.go_to(9)
    for hint in hints.hints:
        comes_of(home, hint)
    home.house.store.close()


@pytest.mark.parametrize(
    ("today", "seed"),
    [(date(2026, 1, 1) + timedelta(days=47 * n), n) for n in range(8)] + [(date(2028, 2, 29), 99)],
    ids=str,
)
def test_each_hint_holds_whatever_the_day_and_the_hour(
    tmp_path: Path, today: date, seed: int
) -> None:
    path, paper = tmp_path / "made.db", shorter(only(PAPER, *SHOWN))
    first = lived(path, paper, today, seed)
    first.house.store.close()
    for place, hint in enumerate(first.told.hints):
        home = opened_again(path, tmp_path / f"copy-{place}.db", paper, first.told)
        home.go_to(4 * place + 1)
        comes_of(home, hint)
        home.house.store.close()


def test_a_seed_and_a_day_make_the_same_trial(tmp_path: Path) -> None:
    def told(name: str, seed: int) -> list[tuple[object, ...]]:
        home = lived(tmp_path / name, shorter(only(PAPER, *SHOWN)), TODAY, seed)
        page = home.house.store.views.reply_log(home.house.scheme.id, LogFilter(), 1, 5000)
        home.house.store.close()
        return [(x.at, x.body, tuple(s.text for s in x.sent)) for x in page.lines]

    first = told("one.db", 5)
    assert first == told("two.db", 5)
    assert first != told("three.db", 6)
