"""The simulated link: what arrives where, when, how often, and the same again for a seed."""

import json
import sys
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta

import pytest

from gateway.advisory.carrier_profile import CarrierProfile
from gateway.advisory.errors import StoreDown, Unproven
from gateway.advisory.number import Number
from gateway.advisory.parcels import Parcel
from gateway.advisory.ports import Carrier, Listener
from gateway.advisory.records import Callback, Inbound, Receipt, Screen
from gateway.carriers.simulator import Simulator
from gateway.flowfiles.carriers import load_carriers
from tests.carriers.conftest import FLOWS, NOON, MovedClock

PHONE = Number("+12025550143")
SHIPPED = load_carriers(FLOWS)["simulator"]
MakeParcel = Callable[..., Parcel]


def profile(**behaviour: object) -> CarrierProfile:
    assert SHIPPED.simulated is not None
    return replace(SHIPPED, simulated=replace(SHIPPED.simulated, **behaviour))  # type: ignore[arg-type]


class Office:
    """Where callbacks go; it notes what came."""

    def __init__(self, clock: MovedClock, run: str | None = "test", **behaviour: object) -> None:
        self.link = Simulator(profile(**behaviour), clock, {"GATEWAY_SIMULATOR_TOKEN": "w"}, run)
        self.texts: list[Inbound] = []
        self.receipts: list[Receipt] = []
        self.link.on_text = self.texts.append
        self.link.on_receipt = self.receipts.append


def test_it_is_a_carrier_and_its_listener_a_listener(clock: MovedClock) -> None:
    office = Office(clock)
    carrier: Carrier = office.link
    listener: Listener = office.link.listener
    assert carrier.name == listener.name == "simulator"


def test_a_text_goes_in_and_its_answer_is_read_on_the_phone(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock)
    reference = office.link.text(PHONE, "H07 -12")
    assert office.texts == [], "nothing arrives before the pump"
    assert office.link.pump(clock.now()) == 1
    assert office.texts == [Inbound("simulator", PHONE, "H07 -12", NOON, reference)]
    handing = office.link.send(parcel("H07: wait."))
    assert (handing.outcome, handing.reference) == ("handed-over", "sim-test-out-1")
    office.link.pump(clock.now())
    thread = [(shown.text, shown.mine) for shown in office.link.thread(PHONE)]
    assert thread == [("H07 -12", True), ("H07: wait.", False)]
    assert [shown.parcel_id for shown in office.link.inbox(PHONE)] == [41]
    assert [(r.reference, r.state) for r in office.receipts] == [("sim-test-out-1", "delivered")]
    assert office.link.inbox(Number("+12025550100")) == ()


def test_nothing_arrives_before_its_time(clock: MovedClock, parcel: MakeParcel) -> None:
    office = Office(clock, delay_s=(10, 10), receipt_delay_s=(5, 5))
    office.link.send(parcel())
    assert office.link.next_due() == NOON + timedelta(seconds=10)
    assert office.link.pump(clock.move(9.9)) == 0
    assert office.link.pump(clock.move(0.1)) == 1
    assert (len(office.link.inbox(PHONE)), office.receipts) == (1, [])
    assert office.link.pump(clock.move(5)) == 1
    assert office.receipts[0].at == NOON + timedelta(seconds=15)
    assert office.link.next_due() is None


def test_a_late_pump_shows_on_the_phone_when_the_text_was_due(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock, delay_s=(10, 10))
    office.link.send(parcel())
    office.link.pump(clock.move(3600))
    assert office.link.inbox(PHONE)[0].at == NOON + timedelta(seconds=10)


def test_what_a_callback_sets_going_arrives_in_the_same_pump(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock)
    office.link.on_text = lambda inbound: office.link.send(parcel(f"got {inbound.body}"))
    office.link.text(PHONE, "H07 -12")
    assert office.link.pump(clock.now()) == 3, "text, answer, receipt"
    assert office.link.inbox(PHONE)[0].text == "got H07 -12"


def test_a_link_that_is_down_takes_nothing_and_comes_back(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock, link_down=True)
    handing = office.link.send(parcel())
    assert (handing.outcome, handing.wait_s) == ("link-down", 60)
    assert office.link.next_due() is None
    office.link.behave(link_down=False)
    assert office.link.send(parcel()).outcome == "handed-over"


# -- shares over a thousand texts -----------------------------------------------------------------
# Bounds: five standard deviations of a binomial share, sqrt(n p (1 - p)); computed.

THOUSAND = 1000


def within(count: int, share: float, of: int = THOUSAND) -> bool:
    return bool(abs(count - share * of) <= 5 * (of * share * (1 - share)) ** 0.5)


def ordinals(texts: list[Inbound]) -> list[int]:
    return [int(text.body) for text in texts]


def write_a_thousand(office: Office, clock: MovedClock) -> list[int]:
    for number in range(THOUSAND):
        office.link.text(PHONE, str(number))
        clock.move(1)
    office.link.pump(clock.move(3600))
    return ordinals(office.texts)


def send_a_thousand(office: Office, clock: MovedClock, parcel: MakeParcel) -> Counter[str]:
    outcomes = Counter(office.link.send(parcel(id=n)).outcome for n in range(THOUSAND))
    office.link.pump(clock.move(3600))
    return Counter(outcomes)


def test_by_default_everything_arrives_once_in_order_with_its_receipt(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock, delay_s=(1, 60), receipt_delay_s=(1, 60))
    assert write_a_thousand(office, clock) == list(range(THOUSAND))
    send_a_thousand(office, clock, parcel)
    assert [shown.parcel_id for shown in office.link.inbox(PHONE)] == list(range(THOUSAND))
    expected = [f"sim-test-out-{n}" for n in range(1, THOUSAND + 1)]
    assert [receipt.reference for receipt in office.receipts] == expected


def test_lost_texts_vanish_in_both_directions_without_a_word(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock, loss=0.2)
    came = write_a_thousand(office, clock)
    assert within(THOUSAND - len(came), 0.2)
    assert came == sorted(set(came))
    assert send_a_thousand(office, clock, parcel) == {"handed-over": THOUSAND}
    shown = office.link.inbox(PHONE)
    assert within(THOUSAND - len(shown), 0.2)
    assert len(office.receipts) == len(shown), "what never arrived is never receipted"


def test_repeated_callbacks_come_twice_with_one_key(clock: MovedClock, parcel: MakeParcel) -> None:
    office = Office(clock, repeat=0.3)
    times = Counter(write_a_thousand(office, clock))
    assert set(times) == set(range(THOUSAND))
    assert set(times.values()) == {1, 2}
    assert within(sum(1 for count in times.values() if count == 2), 0.3)
    assert len({text.key for text in office.texts}) == THOUSAND
    send_a_thousand(office, clock, parcel)
    doubled = Counter(receipt.reference for receipt in office.receipts)
    assert within(sum(1 for count in doubled.values() if count == 2), 0.3)
    assert len(office.link.inbox(PHONE)) == THOUSAND, "a phone shows each text once"


def test_reordered_texts_are_overtaken_but_not_lost(clock: MovedClock) -> None:
    office = Office(clock, reorder=0.1, hold_back_s=30)
    came = write_a_thousand(office, clock)
    assert sorted(came) == list(range(THOUSAND))
    last, overtaken = -1, 0
    for number in came:
        overtaken += number < last
        last = max(last, number)
    # Those held back at the very end have nobody left who could overtake them.
    assert within(overtaken, 0.1)


def test_receipts_come_in_their_shares(clock: MovedClock, parcel: MakeParcel) -> None:
    office = Office(clock, delivered=0.7, undeliverable=0.2)
    send_a_thousand(office, clock, parcel)
    states = Counter(receipt.state for receipt in office.receipts)
    assert within(states["delivered"], 0.7)
    assert within(states["undeliverable"], 0.2)
    assert set(states) == {"delivered", "undeliverable"}
    assert len(office.link.inbox(PHONE)) == THOUSAND - states["undeliverable"]


def test_of_the_texts_in_doubt_about_half_were_taken(clock: MovedClock, parcel: MakeParcel) -> None:
    office = Office(clock, in_doubt=1)
    assert send_a_thousand(office, clock, parcel) == {"in-doubt": THOUSAND}
    assert within(len(office.link.inbox(PHONE)), 0.5)


# -- the same again -------------------------------------------------------------------------------

ROUGH = {
    "delay_s": (1, 90),
    "receipt_delay_s": (1, 90),
    "loss": 0.1,
    "repeat": 0.1,
    "reorder": 0.1,
    "delivered": 0.8,
    "undeliverable": 0.1,
    "in_doubt": 0.05,
}


def _history(seed: int, parcel: MakeParcel) -> object:
    clock = MovedClock()
    office = Office(clock, seed=seed, **ROUGH)
    write_a_thousand(office, clock)
    send_a_thousand(office, clock, parcel)
    return office.texts, office.receipts, office.link.thread(PHONE)


def test_a_seed_makes_the_same_history_and_another_seed_another(parcel: MakeParcel) -> None:
    first = _history(7, parcel)
    assert _history(7, parcel) == first
    assert _history(8, parcel) != first


def test_two_runs_never_share_a_reference(clock: MovedClock, parcel: MakeParcel) -> None:
    offices = [Office(clock, run=None) for _ in range(2)]
    assert len({office.link.text(PHONE, "x") for office in offices}) == 2
    assert len({office.link.send(parcel()).reference for office in offices}) == 2


# -- trouble on our side --------------------------------------------------------------------------


def test_a_callback_comes_again_when_the_store_was_down(clock: MovedClock) -> None:
    office = Office(clock, again_s=30)
    down = [StoreDown(), StoreDown()]

    def receive(inbound: Inbound) -> None:
        if down:
            raise down.pop()
        office.texts.append(inbound)

    office.link.on_text = receive
    reference = office.link.text(PHONE, "H07 -12")
    office.link.pump(clock.now())
    office.link.pump(clock.move(30))
    assert office.texts == []
    office.link.pump(clock.move(30))
    assert [(text.reference, text.received_at) for text in office.texts] == [
        (reference, NOON + timedelta(seconds=60))
    ]


def test_any_other_error_reaches_the_caller_and_the_rest_still_arrives(clock: MovedClock) -> None:
    office = Office(clock)

    def receive(inbound: Inbound) -> None:
        if inbound.body == "bad":
            raise ZeroDivisionError
        office.texts.append(inbound)

    office.link.on_text = receive
    for body in ("bad", "good"):
        office.link.text(PHONE, body)
    with pytest.raises(ZeroDivisionError):
        office.link.pump(clock.now())
    office.link.pump(clock.now())
    assert [text.body for text in office.texts] == ["good"]


@pytest.fixture
def hasty_threads() -> Iterator[None]:
    """Threads that are switched as often as they can be, so that a missing lock shows."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(usual)


@pytest.mark.usefixtures("hasty_threads")
def test_threads_share_it_and_nothing_is_lost_or_doubled(
    clock: MovedClock, parcel: MakeParcel
) -> None:
    office = Office(clock)

    def work(first: int) -> None:
        for number in range(first, first + 200):
            office.link.text(PHONE, str(number))
            office.link.send(parcel(id=number))
            office.link.pump(clock.now())

    threads = [threading.Thread(target=work, args=(n * 200,)) for n in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    office.link.pump(clock.now())
    assert sorted(ordinals(office.texts)) == list(range(1000))
    assert sorted(t.parcel_id or 0 for t in office.link.inbox(PHONE)) == list(range(1000))
    assert len({receipt.reference for receipt in office.receipts}) == 1000


# -- the same link over HTTP ----------------------------------------------------------------------


def _posted(content: object, token: str = "w") -> Callback:
    body = json.dumps(content).encode()
    return Callback("POST", {"X-Carrier-Token": token}, {}, body, NOON)


def test_its_callbacks_are_read_like_those_of_any_carrier(clock: MovedClock) -> None:
    listener = Office(clock).link.listener
    number = PHONE.reveal()
    text = listener.text(_posted({"from": number, "text": "H07 -12", "id": "any-1"}))
    assert text == Inbound("simulator", PHONE, "H07 -12", NOON, "any-1")
    receipt = listener.receipt(_posted({"id": "o-1", "state": "delivered"}))
    assert (receipt.reference, receipt.state) == ("o-1", "delivered")
    first = listener.dial(_posted({"session": "s", "from": number}))
    then = listener.dial(_posted({"session": "s", "from": number, "entry": "1"}))
    assert (first.entry, then.entry) == (None, "1")
    kind, body = listener.reply(Screen('Say "1"', end=False))
    assert (kind, json.loads(body)) == ("application/json", {"show": 'Say "1"', "asks": True})


def test_without_its_token_nobody_gets_in(clock: MovedClock) -> None:
    content = {"from": PHONE.reveal(), "text": "x"}
    with pytest.raises(Unproven):
        Office(clock).link.listener.text(_posted(content, "guess"))
    tokenless = Simulator(profile(), clock, {})
    with pytest.raises(Unproven, match="GATEWAY_SIMULATOR_TOKEN is not set"):
        tokenless.listener.text(_posted(content, ""))


def test_what_it_shows_of_itself_holds_no_number(clock: MovedClock, parcel: MakeParcel) -> None:
    office = Office(clock)
    office.link.text(PHONE, "x")
    handing = office.link.send(parcel())
    office.link.pump(clock.now())
    shown = repr((office.link, handing, office.texts, office.receipts, office.link.thread(PHONE)))
    assert "2025550143" not in shown
