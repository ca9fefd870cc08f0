"""The outbox through the store: the transition table, leases, and who goes first."""

import signal
import subprocess
import sys
import threading
from datetime import timedelta
from itertools import product

import pytest
from sqlalchemy import insert, select, update

from gateway.advisory.errors import ForbiddenMove
from gateway.advisory.parcels import MOVES, State
from gateway.advisory.records import NewDuty
from gateway.store.engine import SqlStore
from gateway.store.tables.traffic import outbox, outbox_move
from tests.store.field import NOW, OTHER, Field, parcel, put, sow, text

LEASE = timedelta(seconds=60)
LATER = NOW + timedelta(minutes=5)

# The plan's table, written out a second time by hand: what is not here is forbidden.
WAYS = {
    "waiting": {"held", "claimed", "withdrawn", "expired"},
    "held": {"waiting", "withdrawn", "expired"},
    "claimed": {"waiting", "handed over", "in doubt"},
    "handed over": {"delivered", "undeliverable", "expired"},
    "in doubt": {"delivered", "undeliverable", "expired"},
    "delivered": set(),
    "undeliverable": {"delivered"},
    "expired": {"delivered"},
    "withdrawn": set(),
}


def stand_at(unit, parcel_id: int, state: str) -> None:
    unit.work.run(update(outbox).where(outbox.c.id == parcel_id).values(state=state))


def state_of(store: SqlStore, parcel_id: int) -> str:
    with store.begin(write=False) as unit:
        return unit.outbox.get(parcel_id).state


@pytest.mark.parametrize("state", list(State))
def test_a_text_goes_where_the_table_has_a_way_and_nowhere_else(
    store: SqlStore, state: State
) -> None:
    number = put(store, sow(store))
    for to in State:
        with store.begin() as unit:
            stand_at(unit, number, state)
            if to in WAYS[state]:
                assert unit.outbox.move(number, state, to, LATER)
                moved = unit.outbox.get(number)
                assert moved.state == to
            else:
                with pytest.raises(ForbiddenMove) as forbidden:
                    unit.outbox.move(number, state, to, LATER)
                assert (forbidden.value.state, forbidden.value.to) == (state, to)
                assert unit.outbox.get(number).state == state
    assert {(a, b) for a, b in product(State, State) if b in WAYS[a]} == set(MOVES)


def test_a_move_from_where_it_no_longer_stands_does_nothing(store: SqlStore) -> None:
    number = put(store, sow(store))
    with store.begin() as unit:
        assert unit.outbox.move(number, State.WAITING, State.HELD, LATER)
        assert not unit.outbox.move(number, State.WAITING, State.WITHDRAWN, LATER)
        unit.commit()
    assert state_of(store, number) == "held"


def test_a_move_keeps_reference_words_attempts_and_when(store: SqlStore) -> None:
    number = put(store, sow(store))
    with store.begin() as unit:
        unit.outbox.claim("simulator", NOW, LEASE, 1)
        unit.outbox.move(
            number,
            State.CLAIMED,
            State.HANDED_OVER,
            LATER,
            reference="ref-9",
            words="ACCEPTD",
            count_attempt=True,
        )
        unit.outbox.move(number, State.HANDED_OVER, State.EXPIRED, LATER + LEASE)
        moved = unit.outbox.get(number)
        row = unit.work.rows(select(outbox))[0]
    assert (moved.carrier_reference, moved.attempts, moved.lease_until) == ("ref-9", 1, None)
    assert (row.words, row.state_at, row.sent_at) == ("ACCEPTD", LATER + LEASE, LATER)


def test_every_move_stands_in_the_history(store: SqlStore) -> None:
    number = put(store, sow(store))
    with store.begin() as unit:
        unit.outbox.claim("simulator", NOW, LEASE, 1)
        unit.outbox.move(number, State.CLAIMED, State.WAITING, LATER, words="busy")
        unit.outbox.move(number, State.CLAIMED, State.WAITING, LATER, words="busy")
        rows = unit.work.rows(select(outbox_move).order_by(outbox_move.c.id))
    assert [(row.from_state, row.to_state, row.at, row.words) for row in rows] == [
        ("waiting", "claimed", NOW, ""),
        ("claimed", "waiting", LATER, "busy"),
    ]


def test_a_text_with_a_key_is_put_once(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        assert unit.outbox.put(parcel(field, key="duty:1:1"), NOW) is not None
        assert unit.outbox.put(parcel(field, key="duty:1:1"), NOW) is None
        assert unit.outbox.put(parcel(field), NOW) is not None
        assert unit.outbox.put(parcel(field), NOW) is not None


def test_what_is_put_comes_out_as_it_was(store: SqlStore) -> None:
    field = sow(store)
    number = put(store, field, plot_id=field.plot_id, safety=True, kind="duty", topic="t")
    with store.begin() as unit:
        found = unit.outbox.get(number)
    assert (found.to, found.zone, found.phone_left) == (field.phone.number, "Asia/Manila", False)
    assert (found.plot_id, found.safety, found.kind) == (field.plot_id, True, "duty")
    assert (found.not_before, found.state, found.attempts) == (NOW, State.WAITING, 0)


def test_answers_and_crop_safety_go_first_then_the_oldest(store: SqlStore) -> None:
    field = sow(store)
    broadcast = put(store, field, kind="broadcast")
    duty = put(store, field, kind="duty")
    safety = put(store, field, kind="duty", safety=True)
    answer = put(store, field, kind="answer")
    question = put(store, field, kind="question")
    with store.begin() as unit:
        first = unit.outbox.claim("simulator", NOW, LEASE, 2)
        rest = unit.outbox.claim("simulator", NOW, LEASE, 10)
    assert [each.id for each in first] == [safety, answer]
    assert [each.id for each in rest] == [question, broadcast, duty]
    assert {each.state for each in first + rest} == {State.CLAIMED}
    assert {each.lease_until for each in first} == {NOW + LEASE}


@pytest.mark.parametrize(
    "changes",
    [
        {"not_before": NOW + timedelta(seconds=1)},
        {"valid_until": NOW},
        {"carrier": "another"},
    ],
    ids=["not-yet", "too-late", "another-carrier"],
)
def test_what_is_not_due_is_not_claimed(store: SqlStore, changes) -> None:
    field = sow(store)
    put(store, field, **changes)
    with store.begin() as unit:
        assert unit.outbox.claim("simulator", NOW, LEASE, 10) == []


@pytest.mark.parametrize(
    ("kind", "safety", "goes"),
    [
        ("answer", False, True),
        ("question", False, True),
        ("notice", False, True),
        ("duty", False, False),
        ("duty", True, False),
        ("broadcast", False, False),
    ],
)
def test_a_phone_that_left_gets_answers_and_no_pushes(
    store: SqlStore, kind: str, safety: bool, goes: bool
) -> None:
    field = sow(store)
    before = put(store, field, kind=kind, safety=safety)
    with store.begin() as unit:
        unit.people.set_left(field.phone.id, True, NOW)
        assert unit.outbox.get(before).state == (State.WAITING if goes else State.WITHDRAWN)
        after = unit.outbox.put(parcel(field, kind=kind, safety=safety), NOW)
        assert after is not None
        assert unit.outbox.get(after).phone_left
        claimed = unit.outbox.claim("simulator", NOW, LEASE, 10)
        assert [each.id for each in claimed] == ([before, after] if goes else [])
        assert unit.outbox.get(after).state == (State.CLAIMED if goes else State.WITHDRAWN)


def test_leaving_withdraws_held_pushes_and_nobody_elses(store: SqlStore) -> None:
    field = sow(store)
    held = put(store, field, kind="duty")
    with store.begin() as unit:
        unit.outbox.move(held, State.WAITING, State.HELD, NOW)
        other = unit.people.phone_of(field.scheme.id, OTHER, NOW)
        others = unit.outbox.put(parcel(field, kind="duty", phone_id=other.id), NOW)
        unit.people.set_left(field.phone.id, True, NOW)
        assert unit.outbox.get(held).state == State.WITHDRAWN
        assert unit.outbox.get(others).state == State.WAITING
        unit.people.set_left(field.phone.id, False, NOW)
        assert not unit.people.phone(field.phone.id).left
        assert unit.outbox.get(held).state == State.WITHDRAWN


def test_the_lists_of_the_dispatcher_hold_what_their_names_say(store: SqlStore) -> None:
    field = sow(store)
    waiting, held, claimed, over, doubt = (
        put(store, field, text=name, valid_until=NOW + timedelta(hours=1))
        for name in ("waiting", "held", "claimed", "handed over", "in doubt")
    )
    with store.begin() as unit:
        box = unit.outbox
        for number, state in ((held, "held"), (over, "handed over"), (doubt, "in doubt")):
            stand_at(unit, number, state)
        unit.work.run(
            update(outbox)
            .where(outbox.c.id == claimed)
            .values(state="claimed", lease_until=NOW + LEASE)
        )

        def ids(found) -> list[int]:
            return [each.id for each in found]

        assert ids(box.lapsed(NOW + LEASE - timedelta(microseconds=1))) == []
        assert ids(box.lapsed(NOW + LEASE)) == [claimed]
        assert ids(box.held(NOW - timedelta(microseconds=1))) == []
        assert ids(box.held(NOW)) == [held]
        assert ids(box.stale(NOW)) == []
        assert ids(box.stale(NOW + timedelta(hours=1))) == [waiting, held]
        assert ids(box.unsettled("simulator", NOW)) == []
        assert ids(box.unsettled("simulator", NOW + timedelta(hours=2))) == [over, doubt]
        assert ids(box.unsettled("another", NOW + timedelta(hours=2))) == []


def test_replies_duty_texts_and_notices_are_found(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        new = NewDuty(field.season_id, "flowering", 1, 1, NOW.date())
        duty = unit.duties.owe(field.scheme.id, [new], NOW)[new]
        other = unit.people.phone_of(field.scheme.id, OTHER, NOW)
        reply = unit.outbox.put(parcel(field, in_reply_to=kept.id), NOW)
        owed = unit.outbox.put(parcel(field, duty_id=duty, topic="stranger"), NOW)
        unit.outbox.put(parcel(field, phone_id=other.id, topic="stranger"), LATER)
        assert [each.id for each in unit.outbox.replies(kept.id)] == [reply]
        assert [each.id for each in unit.outbox.of_duty(duty)] == [owed]
        count = unit.outbox.notices
        assert count(field.scheme.id, "stranger", NOW) == 2
        assert count(field.scheme.id, "stranger", LATER) == 1
        assert count(field.scheme.id, "stranger", NOW, field.phone.id) == 1
        assert count(field.scheme.id, "else", NOW) == 0


def test_texts_of_duties_are_put_once_by_key_with_all_that_they_tell_of(store: SqlStore) -> None:
    field = sow(store)
    news = [NewDuty(field.season_id, "look", ordinal, 1, NOW.date()) for ordinal in range(1, 4)]
    with store.begin() as unit:
        owed = unit.duties.owe(field.scheme.id, news, NOW)
        assert unit.duties.owe(field.scheme.id, news, NOW) == {}
        one, two, three = (owed[new] for new in news)
        assert unit.duties.put([(parcel(field, key="there"), [one])], NOW) == {"there"}
        texts = [(parcel(field, key="there"), [two]), (parcel(field, key="fresh"), [two, three])]
        assert unit.duties.put(texts, NOW) == {"fresh"}
        found = unit.outbox.of_keys(field.scheme.id, ["there", "fresh", "never"])
        assert sorted(found) == ["fresh", "there"]
        told = {number: [p.id for p in unit.duties.texts(number)] for number in (one, two, three)}
    fresh, there = found["fresh"].id, found["there"].id
    assert told == {one: [there], two: [fresh], three: [fresh]}
    assert unit.outbox.of_keys(field.scheme.id, []) == {}


def many(store: SqlStore, field: Field, how_many: int) -> set[int]:
    return {put(store, field) for _ in range(how_many)}


def test_threads_never_claim_the_same_text(store: SqlStore) -> None:
    expected = many(store, sow(store), 40)
    seen: list[int] = []

    def claim() -> None:
        while True:
            with store.begin() as unit:
                found = unit.outbox.claim("simulator", NOW, LEASE, 3)
                unit.commit()
            if not found:
                return
            seen.extend(each.id for each in found)

    threads = [threading.Thread(target=claim) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(seen) == 40
    assert set(seen) == expected


CLAIMING = """
import sys
from datetime import timedelta
from gateway.store.engine import open_store
from tests.databases import KEYS
from tests.store.field import NOW
store = open_store(sys.argv[1], KEYS)
print("ready", flush=True)
sys.stdin.readline()
while True:
    with store.begin() as unit:
        found = unit.outbox.claim("simulator", NOW, timedelta(seconds=60), int(sys.argv[2]))
        unit.commit()
    print(*(each.id for each in found), flush=True)
    if not found or sys.argv[3] == "once":
        break
sys.stdin.read()
"""


def claiming(url: str, at_once: int, how: str) -> "subprocess.Popen[str]":
    """A process that claims when it gets a line, says what it has, and waits to be ended."""
    process = subprocess.Popen(
        [sys.executable, "-c", CLAIMING, url, str(at_once), how],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return process


def test_processes_never_claim_the_same_text(store: SqlStore, database_url: str) -> None:
    expected = many(store, sow(store), 30)
    processes = [claiming(database_url, 2, "all") for _ in range(2)]
    for process in processes:
        process.stdin.write("\n")
        process.stdin.flush()
    seen = [int(word) for process in processes for word in process.communicate()[0].split()]
    assert [process.returncode for process in processes] == [0, 0]
    assert len(seen) == 30
    assert set(seen) == expected


def test_what_a_killed_process_had_claimed_lapses(store: SqlStore, database_url: str) -> None:
    number = put(store, sow(store))
    process = claiming(database_url, 5, "once")
    process.stdin.write("\n")
    process.stdin.flush()
    assert process.stdout.readline() == f"{number}\n"
    process.send_signal(signal.SIGKILL)
    process.communicate()
    assert process.returncode == -signal.SIGKILL
    with store.begin() as unit:
        assert unit.outbox.claim("simulator", NOW, LEASE, 5) == []
        assert unit.outbox.lapsed(NOW) == []
        assert [each.id for each in unit.outbox.lapsed(NOW + LEASE)] == [number]


def test_the_tables_hold_the_outbox_to_its_phone_and_scheme(store: SqlStore) -> None:
    field = sow(store)
    number = put(store, field)
    with store.begin_work() as work:
        row = work.rows(select(outbox).where(outbox.c.id == number))[0]
        values = {name: value for name, value in row._asdict().items() if name != "id"}
        with pytest.raises(Exception, match=r"(?i)fk_|foreign"):
            work.run(insert(outbox), **(values | {"phone_id": 999}))
