"""Joining by text through the simulated phones: asked, let in, refused, rested, forgotten."""

from dataclasses import replace
from datetime import timedelta

import pytest

from gateway.advisory.decidejoin import Decision
from gateway.advisory.errors import NotOnRecord
from gateway.advisory.number import Number
from tests.houses import READER, STRANGER, TestHouse

OTHER = Number("+12025550163")
TOLD = ("YES", "Ama Tavo", "H 7", "2", "1")


def join(home: TestHouse, who: Number = STRANGER, *told: str) -> list[str]:
    """Join, and tell all; what the phone got last."""
    home.text(who, "JOIN")
    return [home.text(who, each) for each in told or TOLD][-1]


def inbox(home: TestHouse, who: Number) -> list[str]:
    return [shown.text for shown in home.house.simulators["simulator"].inbox(who)]


def request_of(home: TestHouse) -> int:
    (line,) = home.house.store.people_views.requests(home.scheme_id)
    return line.id


def reads(home: TestHouse, who: Number) -> list[str]:
    with home.house.store.begin() as unit:
        phone = unit.people.phone_of(home.scheme_id, who, home.clock.now())
        return [read.code for read in unit.people.plots_of(phone.id)]


def confirm(home: TestHouse, code: str = "H07", **how: bool) -> None:
    decide = home.house.decide_joining
    decide.confirm(home.house.scheme, request_of(home), "maro", Decision(code, **how))
    home.settle()


def test_each_question_is_asked_in_turn_and_nothing_is_saved_before_a_yes(home: TestHouse) -> None:
    asked = [home.text(STRANGER, each) for each in ("join", *TOLD)]
    assert [len(each) for each in asked] == [1] * 6
    starts = ("Trial Office: water advice", "What is your name", "Which plot", "Which language")
    assert all(text.startswith(start) for (text,), start in zip(asked, starts, strict=False))
    assert "looks at plot H7" in asked[-1][0]
    (line,) = home.house.store.people_views.requests(home.scheme_id)
    assert (line.name, line.plot, line.code, line.reads) == ("Ama Tavo", "H7", "H07", "soil")
    assert reads(home, STRANGER) == []


def test_the_answer_is_the_same_for_a_free_a_taken_and_an_absent_plot(home: TestHouse) -> None:
    home.add_plot("K12")
    answers = {
        join(home, Number(f"+1202555015{number}"), *TOLD[:2], code, *TOLD[3:])[0].replace(code, "X")
        for number, code in enumerate(("K12", "H07", "Z99"))
    }
    assert len(answers) == 1


def test_no_is_taken_at_its_word(home: TestHouse) -> None:
    assert "no texts" in join(home, STRANGER, "NO")[0]
    assert home.house.store.people_views.requests(home.scheme_id) == []


def test_the_price_stands_in_the_question_once_the_office_has_set_one(home: TestHouse) -> None:
    papers = home.house.papers
    home.house.papers = replace(papers, joining=replace(papers.joining, price="2 per text"))
    (asked,) = home.text(STRANGER, "JOIN")
    assert "costs 2 per text" in asked


@pytest.mark.parametrize(
    ("step", "unusable"),
    [(1, "perhaps"), (2, "Ama 12"), (3, "my plot"), (4, "77"), (5, "9")],
    ids=["consent", "name", "plot", "language", "reads"],
)
def test_what_cannot_be_used_is_asked_again_and_then_a_person_calls(
    home: TestHouse, step: int, unusable: str
) -> None:
    for each in ("JOIN", *TOLD)[:step]:
        home.text(STRANGER, each)
    again = [home.text(STRANGER, unusable)[0] for _ in range(3)]
    assert again[0].startswith("Not clear.")
    assert "will call you" in again[2]
    assert request_of(home)


def test_the_reader_of_the_plot_is_asked_and_a_yes_lets_the_phone_in(home: TestHouse) -> None:
    join(home)
    assert "ends in 99 wants to report plot H07" in inbox(home, READER)[-1]
    assert reads(home, STRANGER) == []
    home.text(READER, "H07 BELOW 10")
    assert reads(home, STRANGER) == []
    assert "now reports plot H07 too" in home.text(READER, "YES")[0]
    assert reads(home, STRANGER) == ["H07"]
    assert "now reports plot H07" in inbox(home, STRANGER)[-1]


def test_a_no_of_the_reader_leaves_it_to_the_office(home: TestHouse) -> None:
    join(home)
    assert "does not report" in home.text(READER, "NO")[0]
    (line,) = home.house.store.people_views.requests(home.scheme_id)
    assert line.holder_said == "no"
    assert reads(home, STRANGER) == []


def test_a_yes_after_a_day_lets_nobody_in(home: TestHouse) -> None:
    join(home)
    home.clock.move(timedelta(hours=25))
    home.text(READER, "YES")
    assert reads(home, STRANGER) == []


def test_a_yes_of_another_phone_lets_nobody_in(home: TestHouse) -> None:
    home.add_plot("K12", OTHER)
    join(home)
    home.text(OTHER, "YES")
    home.text(STRANGER, "YES")
    assert reads(home, STRANGER) == []


def test_an_officer_confirms_and_both_phones_are_told(home: TestHouse) -> None:
    join(home)
    confirm(home)
    assert reads(home, STRANGER) == ["H07"] == reads(home, READER)
    assert "now reports plot H07" in inbox(home, STRANGER)[-1]
    assert "now reports plot H07 too" in inbox(home, READER)[-1]
    with pytest.raises(NotOnRecord):
        home.house.decide_joining.refuse(home.house.scheme, 1, "maro")


def test_an_officer_may_let_a_phone_take_the_place_of_another(home: TestHouse) -> None:
    join(home)
    confirm(home, instead=True)
    assert (reads(home, STRANGER), reads(home, READER)) == (["H07"], [])
    assert "in place of this one" in inbox(home, READER)[-1]


def test_who_farms_the_plot_from_now_on_becomes_its_grower(home: TestHouse) -> None:
    join(home)
    confirm(home, farms=True)
    with home.house.store.begin(write=False) as unit:
        assert unit.joinings.plot_like(home.scheme_id, "h07").grower == "Ama Tavo"  # type: ignore[union-attr]


def test_an_officer_refuses_and_the_phone_is_told(home: TestHouse) -> None:
    join(home)
    home.house.decide_joining.refuse(home.house.scheme, request_of(home), "maro")
    home.settle()
    assert "was not put on the list" in inbox(home, STRANGER)[-1]
    assert reads(home, STRANGER) == []


def test_an_unknown_plot_is_not_confirmed(home: TestHouse) -> None:
    join(home, STRANGER, *TOLD[:2], "Z99", *TOLD[3:])
    with pytest.raises(NotOnRecord):
        confirm(home, "Z99")
    assert request_of(home)


def test_whoever_left_before_the_office_decided_gets_no_word_of_it(home: TestHouse) -> None:
    join(home)
    home.house.decide_joining.refuse(home.house.scheme, request_of(home), "maro")
    home.house.simulators["simulator"].text(STRANGER, "STOP")
    home.settle()
    assert not any("was not put" in text for text in inbox(home, STRANGER))


def test_a_dialogue_rests_after_a_day_and_is_taken_up_where_it_stood(home: TestHouse) -> None:
    for each in ("JOIN", *TOLD[:2]):
        home.text(STRANGER, each)
    home.clock.move(timedelta(hours=25))
    assert home.house.lapse_joinings() == 1
    home.settle()
    assert "have not finished joining" in inbox(home, STRANGER)[-1]
    assert home.house.lapse_joinings() == 0
    assert home.text(STRANGER, "JOIN")[0].startswith("Which plot")
    home.text(STRANGER, "H07")
    home.text(STRANGER, "2")
    assert "looks at plot H07" in home.text(STRANGER, "1")[0]


def test_what_was_told_is_forgotten_where_nobody_goes_on(home: TestHouse) -> None:
    for each in ("JOIN", *TOLD[:2]):
        home.text(STRANGER, each)
    home.clock.move(timedelta(days=2))
    home.house.lapse_joinings()
    home.clock.move(timedelta(days=8))
    home.house.lapse_joinings()
    with home.house.store.begin(write=False) as unit:
        joining = unit.joinings.get(home.scheme_id, 1)
    assert (joining.state, joining.answers) == ("dropped", {})
    assert home.text(STRANGER, "JOIN")[0].startswith("Trial Office: water advice")


def test_stop_ends_the_dialogue(home: TestHouse) -> None:
    home.text(STRANGER, "JOIN")
    assert "no more texts" in home.text(STRANGER, "STOP")[0]
    assert home.text(STRANGER, "YES") == []


def test_wrong_goes_one_question_back(home: TestHouse) -> None:
    for each in ("JOIN", *TOLD[:2]):
        home.text(STRANGER, each)
    assert home.text(STRANGER, "WRONG")[0].startswith("What is your name")


def test_one_joins_in_ones_own_language(home: TestHouse) -> None:
    assert "Envoyez OUI" in home.text(STRANGER, "INSCRIRE")[0]
    assert "votre nom" in home.text(STRANGER, "OUI")[0]


def test_a_reader_goes_on_reporting_in_the_middle_of_it(home: TestHouse) -> None:
    home.text(READER, "JOIN")
    assert "10 cm BELOW" in home.text(READER, "H07 BELOW 10")[0]
    assert home.text(READER, "YES")[0].startswith("What is your name")


def test_only_so_many_new_phones_begin_in_a_day(home: TestHouse) -> None:
    papers = home.house.papers
    home.house.papers = replace(papers, joining=replace(papers.joining, begun_a_day=1))
    assert home.text(STRANGER, "JOIN")[0].startswith("Trial Office: water advice")
    assert "not on the list" in home.text(OTHER, "JOIN")[0]
