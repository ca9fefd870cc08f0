"""A text goes in by the simulator carrier and its answer comes out at the phone: all real parts."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select, update

from gateway.advisory.errors import PapersOutlived
from gateway.advisory.parcels import State
from gateway.advisory.views import LogFilter
from gateway.agronomy.case import WaterWindow
from gateway.lines.explain import explain_text
from gateway.messages.segments import count_segments
from gateway.store.tables.traffic import advice, paper
from tests.houses import PLAN, READER, STRANGER, TestHouse


def one(texts: list[str]) -> str:
    assert len(texts) == 1, texts
    assert count_segments(texts[0]).segments == 1, texts[0]
    return texts[0]


def log_of(home: TestHouse):  # type: ignore[no-untyped-def]
    return home.house.store.views.reply_log(home.scheme_id, LogFilter(), 1, 50).lines


# -- the next step --------------------------------------------------------------------------------


def test_a_level_above_the_threshold_waits_and_names_the_day_to_look_again(home: TestHouse) -> None:
    reply = one(home.text(READER, "H07 -12"))
    assert reply.startswith("H07: ")
    assert "12 cm BELOW" in reply
    assert "Do not irrigate yet" in reply
    assert "LOOK AGAIN" in reply


def test_a_level_below_the_threshold_is_watered(home: TestHouse) -> None:
    assert "IRRIGATE" in one(home.text(READER, "H07 -16"))


def test_a_flowering_plot_with_little_water_is_topped_up(home: TestHouse) -> None:
    # 120 days from sowing less 30 of ripening is the peak: 90 days after sowing, 70 after planting.
    home.add_plot("K12", STRANGER, planted_days_ago=70)
    reply = one(home.text(STRANGER, "K12 1 above"))
    assert "FLOWER" in reply
    assert "ADD WATER" in reply


def test_nitrogen_due_with_sure_water_is_fertilised_and_flooded_the_same_day(
    home: TestHouse,
) -> None:
    home.add_plot("N01", STRANGER, planted_days_ago=35, plan=PLAN)
    home.sure_water(WaterWindow(home.today, home.today + timedelta(days=1), sure=True))
    reply = one(home.text(STRANGER, "N01 -14"))
    assert "FERTILISE" in reply
    assert "same day" in reply
    # 30 kg N / 0.46 = 65.2 kg urea per hectare (arithmetic); on 0.4 ha, to the half kilogram: 26.
    assert "26 kg" in reply


# -- questions ------------------------------------------------------------------------------------


def test_an_unsigned_number_is_asked_about_and_a_bare_below_settles_it(home: TestHouse) -> None:
    question = one(home.text(READER, "H07 15"))
    assert "BELOW" in question
    assert "ABOVE" in question
    assert "IRRIGATE" in one(home.text(READER, "below"))


def test_the_number_of_a_choice_settles_the_question(home: TestHouse) -> None:
    home.text(READER, "H07 12")
    assert "12 cm BELOW" in one(home.text(READER, "1"))


def test_a_new_reading_replaces_the_question(home: TestHouse) -> None:
    home.text(READER, "H07 15")
    assert "3 cm ABOVE" in one(home.text(READER, "H07 3 above"))
    assert "IRRIGATE" not in "".join(home.text(READER, "below"))


def test_a_question_is_no_longer_open_after_its_time(home: TestHouse) -> None:
    home.text(READER, "H07 15")
    home.clock.move(timedelta(hours=25))
    assert "IRRIGATE" not in "".join(home.text(READER, "below"))


@pytest.mark.parametrize("answer", ["B01", "b01", "1"])
def test_a_report_without_its_plot_is_taken_once_the_plot_is_named(
    home: TestHouse, answer: str
) -> None:
    plot_id = home.add_plot("B01", READER)
    assert "Which plot" in one(home.text(READER, "flooded"))
    assert "written down" in one(home.text(READER, answer))
    with home.house.store.begin(write=False) as unit:
        assert [row.event.kind for row in unit.books.rows(plot_id)] == ["flooded"]


# -- repeats, strangers, privacy ------------------------------------------------------------------


def test_a_repeated_callback_changes_nothing_and_has_the_same_answer(home: TestHouse) -> None:
    home.house.simulators["simulator"].behave(repeat=1.0)
    replies = home.text(READER, "H07 -12")
    assert len(replies) == 1
    lines = [line for line in log_of(home) if line.body == "H07 -12"]
    assert len(lines) == 1
    assert len(lines[0].sent) == 1


def test_a_stranger_is_answered_once_a_week(home: TestHouse) -> None:
    one(home.text(STRANGER, "hello, what is this"))
    home.clock.move(timedelta(days=6))
    assert home.text(STRANGER, "H07 -12") == []
    home.clock.move(timedelta(days=2))
    one(home.text(STRANGER, "H07 -12"))


def test_strangers_have_a_daily_cap_in_all(home: TestHouse) -> None:
    from gateway.advisory.number import Number

    cap = home.house.papers.customs.strangers_a_day
    answered = sum(
        len(home.text(Number(f"+1202555{1000 + n}"), "anybody there?")) for n in range(cap + 3)
    )
    assert answered == cap


def test_a_plot_that_the_phone_does_not_read_is_neither_stored_nor_revealed(
    home: TestHouse,
) -> None:
    other = home.add_plot("K12", STRANGER)
    reply = "".join(home.text(READER, "K12 -12"))
    assert "12 cm" not in reply
    with home.house.store.begin(write=False) as unit:
        assert unit.books.rows(other) == []


# -- undoing, leaving -----------------------------------------------------------------------------


def test_wrong_takes_the_last_report_back(home: TestHouse) -> None:
    home.text(READER, "H07 -16")
    home.text(READER, "thank you")
    one(home.text(READER, "WRONG"))
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, "H07"))
    assert all(row.superseded for row in rows if row.event.kind == "reading")


def test_thanks_get_no_answer(home: TestHouse) -> None:
    assert home.text(READER, "thank you") == []
    assert home.text(READER, "") == []


def test_leaving_is_confirmed_once_and_answers_still_come(home: TestHouse) -> None:
    one(home.text(READER, "STOP"))
    assert home.phones[READER].left is False  # as enrolled
    with home.house.store.begin(write=False) as unit:
        assert unit.people.phone(home.phones[READER].id).left is True
    assert "Do not irrigate yet" in one(home.text(READER, "H07 -12"))
    one(home.text(READER, "START"))
    with home.house.store.begin(write=False) as unit:
        assert unit.people.phone(home.phones[READER].id).left is False


# -- reports --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "kind", "in_reply"),
    [
        ("H07 FLOODED", "flooded", "written down"),
        ("H07 NO WATER", "no-water", "office"),
        ("H07 UREA", "nitrogen", "H07"),
        ("H07 WEEDS", "weeds", "let no soil show"),
        ("H07 SPRAY", "spray", "label"),
        ("H07 rain 20 mm", "rain", "H07"),
        ("H07 snails", "snails", "H07"),
        ("H07 still green", "green", "H07"),
        ("H07 plants under water", "submerged", "H07"),
        ("H07 harvested", "harvest", "closed"),
    ],
)
def test_a_report_is_written_into_the_book_and_answered_in_one_segment(
    home: TestHouse, body: str, kind: str, in_reply: str
) -> None:
    home.text(READER, "H07 -5")
    assert in_reply in one(home.text(READER, body))
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, "H07"))
    assert kind in [row.event.kind for row in rows]


def test_unclear_texts_are_answered_with_an_example_at_most_twice_a_day(home: TestHouse) -> None:
    replies = [home.text(READER, f"H07 ankle deep {word}") for word in ("now", "still", "yes")]
    assert [len(reply) for reply in replies] == [1, 1, 0]
    assert all("H07" in reply[0] for reply in replies[:2])


def test_why_gives_the_reasons_of_the_newest_advice(home: TestHouse) -> None:
    home.text(READER, "H07 -12")
    assert one(home.text(READER, "WHY")).startswith("H07: ")


# -- faults ---------------------------------------------------------------------------------------


def test_a_text_whose_answer_fails_is_kept_and_listed(
    home: TestHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("call +12025550107")

    monkeypatch.setattr("gateway.advisory.answer.write_readings", broken)
    assert home.text(READER, "H07 -12") == []
    line = next(line for line in log_of(home) if line.body == "H07 -12")
    assert (line.outcome, line.failure) == ("failed", "ZeroDivisionError")


def test_explain_gives_every_advice_again_also_after_the_rules_have_changed(
    home: TestHouse, tmp_path: Path
) -> None:
    import shutil

    from gateway.settings import shipped

    first = one(home.text(READER, "H07 -12"))
    flows = tmp_path / "flows"
    shutil.copytree(shipped("flows"), flows)
    practice = flows / "practice.yaml"
    text = practice.read_text("utf-8")
    assert "  threshold_cm: -15" in text
    practice.write_text(text.replace("  threshold_cm: -15", "  threshold_cm: -10"), "utf-8")
    later = open_again(home, flows)
    assert "IRRIGATE" in one(later.text(READER, "H07 -12"))
    for advice_id in (1, 2):
        explanation = later.house.explain(advice_id)
        assert explanation.same, explanation
    assert later.house.explain(1).record.text == first


def rules_with_a_fact_of_old(files: dict[str, str]) -> dict[str, str]:
    """The texts of the rules as they would stand if they named a fact that nobody computes now."""
    rows = files["rules.yaml"].replace("when: {stage: harvested}", "when: {moon: full}")
    return {**files, "rules.yaml": rows}


@pytest.mark.parametrize(
    ("kind", "outlived", "cause"),
    [
        pytest.param("rules", rules_with_a_fact_of_old, "moon: unknown fact", id="a-fact-of-old"),
        pytest.param(
            "words",
            lambda words: {
                name: text for name, text in words.items() if not name.startswith("answer.wait")
            },
            "no message answer.wait",
            id="words-before-a-message",
        ),
    ],
)
def test_explain_says_so_where_the_papers_of_an_old_advice_are_read_no_more(
    home: TestHouse, kind: str, outlived, cause: str
) -> None:
    home.text(READER, "H07 -12")
    with home.house.store.begin_work() as work:
        record = work.rows(select(advice))[0]
        digest = record._mapping[f"{kind}_digest"]
        files = work.rows(select(paper).where(paper.c.digest == digest))[0].files
        changed = outlived(files)
        assert changed != files
        work.run(update(paper).where(paper.c.digest == digest).values(files=changed))
        work.conn.commit()
    with pytest.raises(PapersOutlived, match=f"the {kind} of that day cannot be read") as said:
        home.house.explain(1)
    assert (said.value.kind, said.value.digest) == (kind, digest)
    assert cause in str(said.value)


def test_advice_from_before_a_key_of_the_practice_is_explained_and_says_what_stood_in(
    home: TestHouse,
) -> None:
    home.text(READER, "H07 -12")
    with home.house.store.begin_work() as work:
        digest = work.rows(select(advice))[0].rules_digest
        files = work.rows(select(paper).where(paper.c.digest == digest))[0].files
        before, after = files["practice.yaml"].split("\nlosses:\n")
        older = {**files, "practice.yaml": before + after[after.index("\nsupply:") :]}
        work.run(update(paper).where(paper.c.digest == digest).values(files=older))
        work.conn.commit()
    explanation = home.house.explain(1)
    assert (explanation.rules.filled, explanation.rules.left_out) == (("losses",), ())
    assert "today's stands in for it: losses" in explain_text(explanation)
    assert explanation.same


def test_an_advice_from_before_a_fact_could_be_told_is_given_again(home: TestHouse) -> None:
    home.text(READER, "H07 -12")
    later = {"water_ec_ds_m", "bund_cm", "area_confirmed", "crop_season", "uneven", "seedlings"}
    with home.house.store.begin_work() as work:
        setting = work.rows(select(advice))[0].setting
        older = {
            part: {name: fact for name, fact in facts.items() if name not in later}
            for part, facts in setting.items()
            if facts is not None
        }
        assert older != {part: facts for part, facts in setting.items() if facts is not None}
        older["next_water"] = setting["next_water"]
        work.run(update(advice).values(setting=older))
        work.conn.commit()
    assert home.house.explain(1).same


def test_an_advice_that_rests_on_the_finer_facts_is_given_again(home: TestHouse) -> None:
    with home.house.store.begin() as unit:
        known = unit.register.of(home.scheme_id).plots["H07"]
        salty = replace(known.plot, water_ec_ds_m=6.0, bund_cm=8.0, area_confirmed=False)
        unit.register.change_plot(known.id, home.block_id, salty)
        unit.commit()
    home.text(READER, "H07 -12")
    explanation = home.house.explain(1)
    assert explanation.same
    assert explanation.case.plot.water_ec_ds_m == 6.0
    assert any("salt" in reason or "saline" in reason for reason in explanation.again.reasons)


def open_again(home: TestHouse, flows: Path) -> TestHouse:
    """The same store under other rules, as after an officer's edit."""
    from gateway.compose import House

    settings = home.house.settings.model_copy(update={"flows": flows})
    house = House(settings, home.clock, {})
    home.others.append(house)
    return TestHouse(house, home.clock, home.scheme_id, home.block_id, home.phones)


# -- sending --------------------------------------------------------------------------------------


def parcel_of(home: TestHouse):  # type: ignore[no-untyped-def]
    with home.house.store.begin(write=False) as unit:
        return unit.outbox.get(1)


def test_a_delivered_answer_is_settled_by_its_receipt(home: TestHouse) -> None:
    home.text(READER, "H07 -12")
    assert parcel_of(home).state is State.DELIVERED


def test_an_answer_in_doubt_goes_once_more_and_no_more(home: TestHouse) -> None:
    simulator = home.house.simulators["simulator"]
    simulator.behave(in_doubt=1.0)
    home.text(READER, "H07 -12")
    for _ in range(5):
        home.settle()
    with home.house.store.begin(write=False) as unit:
        replies = unit.outbox.replies(1)
    assert len(replies) == 2
    assert [r.resend_of is not None for r in sorted(replies, key=lambda r: r.id)] == [False, True]


def test_a_text_is_held_while_its_link_is_down_and_leaves_afterwards(home: TestHouse) -> None:
    simulator = home.house.simulators["simulator"]
    simulator.behave(link_down=True)
    assert home.text(READER, "H07 -12") == []
    assert parcel_of(home).state is State.HELD
    simulator.behave(link_down=False)
    home.clock.move(timedelta(minutes=2))
    home.settle()
    assert len(simulator.inbox(READER)) == 1


def test_an_answer_too_late_to_help_is_not_sent(home: TestHouse) -> None:
    simulator = home.house.simulators["simulator"]
    simulator.behave(link_down=True)
    home.text(READER, "H07 -12")
    home.clock.move(timedelta(hours=13))
    simulator.behave(link_down=False)
    home.settle()
    assert parcel_of(home).state is State.EXPIRED
    assert simulator.inbox(READER) == ()


def test_a_text_claimed_by_a_process_that_died_becomes_in_doubt(home: TestHouse) -> None:
    simulator = home.house.simulators["simulator"]
    simulator.text(READER, "H07 -12")
    simulator.pump(home.clock.now())
    customs = home.house.papers.customs
    with home.house.store.begin() as unit:
        claimed = unit.outbox.claim("simulator", home.clock.now(), customs.lease, 10)
        unit.commit()
    assert [p.state for p in claimed] == [State.CLAIMED]
    home.settle()
    assert parcel_of(home).state is State.CLAIMED  # the lease still runs
    home.clock.move(customs.lease)
    home.settle()
    assert parcel_of(home).state is State.IN_DOUBT
    assert len(simulator.inbox(READER)) == 1  # the answer, sent once more


def test_of_two_houses_on_one_store_only_one_sends_a_text(home: TestHouse) -> None:
    home.house.simulators["simulator"].text(READER, "H07 -12")
    home.house.simulators["simulator"].pump(home.clock.now())
    again = open_again(home, home.house.settings.flows)
    tried = home.house.dispatchers["simulator"]() + again.house.dispatchers["simulator"]()
    assert tried == 1
