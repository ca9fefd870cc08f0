"""Receipts, before and after the answer that they belong to; duties, questions, dialogues."""

import threading
from datetime import date, timedelta

import pytest

from gateway.advisory.parcels import State
from gateway.advisory.records import DutyRow, NewDuty, Receipt
from gateway.store.engine import SqlStore
from tests.store.field import NOW, TODAY, Field, parcel, put, sow, text

LEASE = timedelta(seconds=60)


def receipt(reference: str = "ref-1", state="delivered", **changes) -> Receipt:
    values = {"words": "DELIVRD", "at": NOW, "carrier": "simulator"} | changes
    return Receipt(reference=reference, state=state, **values)


def handed_over(unit, field: Field, reference: str = "ref-1") -> int:
    number = unit.outbox.put(parcel(field), NOW)
    unit.outbox.claim("simulator", NOW, LEASE, 9)
    unit.outbox.move(number, State.CLAIMED, State.HANDED_OVER, NOW, reference=reference)
    return number


def test_a_receipt_finds_its_text_by_carrier_and_reference(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        number = handed_over(unit, field)
        found = unit.receipts.keep(receipt())
        assert found is not None
        assert (found.id, found.state) == (number, State.HANDED_OVER)
        assert unit.receipts.keep(receipt(carrier="another")) is None
        assert unit.receipts.keep(receipt("ref-2")) is None
        assert unit.receipts.parked("simulator", "ref-1") == []


def test_a_receipt_that_came_too_early_is_parked_and_claimed_once(store: SqlStore) -> None:
    field = sow(store)
    early = [receipt(state="underway", words="ENROUTE"), receipt()]
    with store.begin() as unit:
        assert [unit.receipts.keep(each) for each in early] == [None, None]
        assert unit.receipts.parked("simulator", "ref-1") == []
        handed_over(unit, field)
        assert unit.receipts.parked("simulator", "ref-1") == early
        assert unit.receipts.parked("simulator", "ref-1") == []


def test_a_reference_used_again_means_the_newest_text(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        handed_over(unit, field)
        newest = handed_over(unit, field)
        found = unit.receipts.keep(receipt())
        assert found is not None
        assert found.id == newest


def test_receipt_and_answer_at_one_time_always_meet(store: SqlStore) -> None:
    """Whichever commits first, the receipt is either given to its text or claimed by it."""
    field = sow(store)
    met: list[str] = []

    def answer(number: int, reference: str, start: threading.Barrier) -> None:
        start.wait()
        with store.begin() as unit:
            unit.outbox.move(number, State.CLAIMED, State.HANDED_OVER, NOW, reference=reference)
            met.extend(each.reference for each in unit.receipts.parked("simulator", reference))
            unit.commit()

    def arrive(reference: str, start: threading.Barrier) -> None:
        start.wait()
        with store.begin() as unit:
            if unit.receipts.keep(receipt(reference)):
                met.append(reference)
            unit.commit()

    numbers = [put(store, field) for _ in range(12)]
    with store.begin() as unit:
        unit.outbox.claim("simulator", NOW, LEASE, 12)
        unit.commit()
    for number in numbers:
        start = threading.Barrier(2)
        pair = [
            threading.Thread(target=answer, args=(number, f"r{number}", start)),
            threading.Thread(target=arrive, args=(f"r{number}", start)),
        ]
        for thread in pair:
            thread.start()
        for thread in pair:
            thread.join()
    assert sorted(met) == sorted(f"r{number}" for number in numbers)


# -- duties ---------------------------------------------------------------------------------------


def owe(unit, field: Field, revision: int = 1, anchor_on: date = TODAY) -> int | None:
    new = NewDuty(field.season_id, "flowering", 1, revision, anchor_on)
    return unit.duties.owe(field.scheme.id, [new], NOW).get(new)


def test_a_duty_is_owed_once_and_its_newest_revision_is_the_last(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        assert unit.duties.owed([field.season_id]) == []
        first = owe(unit, field)
        assert owe(unit, field, anchor_on=TODAY + timedelta(days=1)) is None
        second = owe(unit, field, 2, TODAY + timedelta(days=5))
        (last,) = unit.duties.owed([field.season_id])
    assert first is not None
    assert last == DutyRow(
        second, field.season_id, "flowering", 1, 2, TODAY + timedelta(days=5), sent=False
    )


def test_many_ticks_at_once_owe_a_duty_once(store: SqlStore) -> None:
    field = sow(store)
    owed: list[int | None] = []

    def tick() -> None:
        with store.begin() as unit:
            owed.append(owe(unit, field))
            unit.commit()

    threads = [threading.Thread(target=tick) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(number is not None for number in owed) == 1


@pytest.mark.parametrize(
    ("way", "sent"),
    [
        ((), False),
        ((State.EXPIRED,), False),
        ((State.WITHDRAWN,), False),
        ((State.CLAIMED,), False),
        ((State.CLAIMED, State.WAITING), False),
        ((State.CLAIMED, State.HANDED_OVER), True),
        ((State.CLAIMED, State.IN_DOUBT), True),
        ((State.CLAIMED, State.HANDED_OVER, State.EXPIRED), True),
    ],
    ids=lambda way: "-".join(way) or "waiting" if isinstance(way, tuple) else str(way),
)
def test_a_duty_is_sent_when_a_text_of_it_has_left_the_house(
    store: SqlStore, way: tuple[State, ...], sent: bool
) -> None:
    field = sow(store)
    with store.begin() as unit:
        number = unit.outbox.put(parcel(field, kind="duty", duty_id=owe(unit, field)), NOW)
        for state, to in zip((State.WAITING, *way), way, strict=False):
            assert unit.outbox.move(number, state, to, NOW)
        assert unit.duties.owed([field.season_id])[0].sent is sent


# -- questions ------------------------------------------------------------------------------------


def ask(unit, field: Field, about: str = "sign", valid: timedelta = timedelta(hours=24)) -> int:
    return unit.questions.put(
        field.phone.id, field.plot_id, about, (-15, 15), NOW + valid, None, level_cm=15.0
    )


def open_at(unit, field: Field, after: timedelta = timedelta()):
    """The question that a text would find open some time from NOW."""
    kept = unit.texts.keep(field.scheme.id, text(reference=f"after {after}"), NOW + after)
    return kept.question


def test_the_newest_question_of_a_phone_is_the_open_one(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        ask(unit, field, "plot", timedelta(days=9))
        number = ask(unit, field)
        found = open_at(unit, field)
        assert (found.id, found.about, found.plot_code) == (number, "sign", "H07")
        assert (found.candidates, found.level_cm, found.dry) == ((-15, 15), 15.0, False)
        assert open_at(unit, field, timedelta(hours=24)) is None
        unit.questions.close(number, "settled", NOW)
        assert open_at(unit, field) is None


def test_a_question_may_be_about_no_plot_and_offer_plots(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        unit.questions.put(
            field.phone.id, None, "plot", ("H07", "H08"), NOW + LEASE, None, None, True
        )
        found = open_at(unit, field)
    assert (found.plot_id, found.plot_code, found.candidates) == (None, None, ("H07", "H08"))
    assert found.dry is True


# -- dialogues ------------------------------------------------------------------------------------


def test_a_dialogue_is_taken_up_where_it_stands(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept, phone = unit.dialogues, field.phone.id
        assert kept.state(phone, "simulator", "s1", NOW) is None
        kept.put(phone, "simulator", "s1", '{"at": 1}', False, NOW)
        kept.put(phone, "simulator", "s1", '{"at": 2}', False, NOW + LEASE)
        assert kept.state(phone, "simulator", "s1", NOW + LEASE) == '{"at": 2}'
        assert kept.state(phone, "another", "s1", NOW) is None
        assert kept.left_off(phone, NOW + LEASE) == '{"at": 2}'
        assert kept.left_off(phone, NOW + 2 * LEASE) is None
        assert kept.state(phone, "simulator", "s1", NOW + timedelta(days=1)) is None
        kept.put(phone, "simulator", "s2", '{"at": 9}', True, NOW + 2 * LEASE)
        assert kept.left_off(phone, NOW) is None, "a later one was ended"
        kept.put(phone, "simulator", "s1", '{"at": 3}', True, NOW + LEASE)
        assert kept.state(phone, "simulator", "s1", NOW + LEASE) is None
        assert kept.left_off(phone, NOW) is None
