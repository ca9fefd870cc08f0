"""What texts cost: summed as they leave; the month's cap stops all but crop safety and answers."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from gateway.advisory.budget import Budget, Cap, month_of, next_day
from gateway.advisory.carrier_profile import Price
from gateway.flowfiles.broadcasts import load_broadcasts, load_budget
from gateway.flowfiles.reader import FlowError
from tests.houses import READER, ZONE, TestHouse, open_test_house
from tests.manyphones import number, officers, release, run, states, write, written

MARCH = date(2026, 3, 1)
PRICES = {"simulator": Price(0.5, "XXX")}


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """Six phones, texts at half a coin each, and a cap of two."""
    opened = open_test_house(database_url)
    opened.house.budget = Budget(Cap(2.0, "XXX"), 0.8, PRICES)
    for place in range(6):
        opened.add_plot(f"K{place:02}", number(place), planted_days_ago=-60)
    yield opened
    opened.close()


def spent(home: TestHouse, month: date = MARCH) -> float:
    with home.house.store.begin(write=False) as unit:
        return unit.spending.of_month(home.scheme_id, month, "XXX")


def test_at_the_cap_a_broadcast_waits_and_an_answer_leaves(home: TestHouse) -> None:
    user, _ = officers(home)
    made = write(home, user, written(home))
    release(home, user, made)
    run(home.house, home)
    assert states(home, made) == {"delivered": 4, "held": 2}
    assert spent(home) == 2.0
    assert home.text(number(0), "K00 HELP")
    assert spent(home) == 2.5


def test_crop_safety_leaves_though_the_money_is_spent(home: TestHouse) -> None:
    one, other = officers(home)
    home.house.budget = Budget(Cap(0.0, "XXX"), 0.8, PRICES)
    made = write(home, one, written(home, safety=True))
    release(home, other, made)
    run(home.house, home)
    assert states(home, made) == {"delivered": 6}


@pytest.mark.parametrize(
    "budget",
    [
        Budget(None, 0.8, PRICES),
        Budget(Cap(0.0, "XXX"), 0.8, {}),
        Budget(Cap(0.0, "XTS"), 0.8, PRICES),
    ],
    ids=["no cap", "no price", "another currency"],
)
def test_what_is_not_counted_stops_nothing(home: TestHouse, budget: Budget) -> None:
    home.house.budget = budget
    user, _ = officers(home)
    made = write(home, user, written(home))
    release(home, user, made)
    run(home.house, home)
    assert states(home, made) == {"delivered": 6}


def test_the_next_month_has_money_of_its_own(home: TestHouse) -> None:
    home.clock.move_to(datetime(2026, 3, 31, 9, 0, tzinfo=UTC))  # 17:00 there
    user, _ = officers(home)
    made = write(home, user, written(home))
    release(home, user, made)
    run(home.house, home)
    assert states(home, made)["held"] == 2
    home.clock.move(timedelta(hours=13))
    run(home.house, home)
    assert states(home, made) == {"delivered": 6}
    assert (spent(home), spent(home, date(2026, 4, 1))) == (2.0, 1.0)


def test_a_text_for_several_plots_of_a_phone_counts_a_share_in_each(home: TestHouse) -> None:
    home.add_plot("H01", READER)
    home.add_plot("H02", READER)
    home.text(READER, "HELP")
    views = home.house.store.broadcast_views
    lines, total = views.plot_costs(home.scheme_id, 1, 50)
    shares = {line.code: line.texts for line in lines}
    assert total == 8
    assert shares["H01"] == shares["H02"] == 0.5


def test_months_and_days_are_those_of_the_zone() -> None:
    late = datetime(2026, 3, 31, 17, 0, tzinfo=UTC)  # 01:00 on 1 April there
    assert month_of(late, ZONE) == date(2026, 4, 1)
    assert next_day(late, ZONE) == datetime(2026, 4, 1, 16, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("warn_at_percent: 0\n", "budget.yaml:1:18 warn_at_percent: need at least 1"),
        ("warn_at_percent: 80\nmonthly_cap: {amount: 5}\n", "2:14 monthly_cap: the key currency"),
        ("warn_at_percent: 80\nmonthly_cap: {amount: 5, currency: rice}\n", "2:36 currency: need"),
        ("warn_at_percent: 80\ncap: 5\n", "2:1 cap: unknown key"),
    ],
)
def test_a_mistake_in_the_budget_has_its_place_and_cure(
    tmp_path: Path, text: str, words: str
) -> None:
    (tmp_path / "budget.yaml").write_text(text, "utf-8")
    with pytest.raises(FlowError) as caught:
        load_budget(tmp_path, {})
    assert words in str(caught.value)


def test_a_mistake_in_the_customs_of_broadcasts_has_its_place(tmp_path: Path) -> None:
    (tmp_path / "broadcasts.yaml").write_text("second_officer_above: many\n", "utf-8")
    with pytest.raises(FlowError, match=r"broadcasts.yaml:1:1 the key regular is missing"):
        load_broadcasts(tmp_path)
