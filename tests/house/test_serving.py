"""The gateway as it is shipped: the installed command, real sockets, real signals."""

import json
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from gateway.advisory.views import LogFilter
from gateway.store.tables.traffic import outbox
from tests.house.serving import (
    Server,
    flows_with_operator,
    serving,
    settings,
    signed,
    wait_for,
)
from tests.houses import READER, TestHouse, open_test_house
from tests.peers.operator_http import Operator, answering


@pytest.fixture
def home(sqlite_url: str) -> Iterator[TestHouse]:
    """A store with plot H07 in tillering, on the real clock's day."""
    opened = open_test_house(sqlite_url)
    opened.clock.move_to(datetime.now(UTC))
    opened.add_plot("H07", READER)
    yield opened
    opened.close()


@pytest.fixture
def operator() -> Iterator[Operator]:
    """An invented operator on a real socket, that takes every text."""
    with Operator() as peer:
        peer.behaviour = answering(202, {"message": {"id": "op-1", "state": "queued"}})
        yield peer


def callback(body: str, reference: str, sender: str = READER.reveal()):  # type: ignore[no-untyped-def]
    return signed({"from": sender, "message": {"text": body, "id": reference}})


def environment_of(home: TestHouse, tmp_path: Path, operator: Operator) -> dict[str, str]:
    return settings(
        home.house.settings.database_url,
        GATEWAY_FLOWS=str(flows_with_operator(tmp_path, operator.url)),
        GATEWAY_CARRIERS="example-http,simulator",
    )


def log_of(home: TestHouse):  # type: ignore[no-untyped-def]
    """The texts that came in, with what went out for them; what the calendar owes stands beside."""
    lines = home.house.store.views.reply_log(home.scheme_id, LogFilter(), 1, 50).lines
    return [line for line in lines if line.text_id is not None]


def test_a_signed_callback_is_answered_through_the_operator_and_stands_in_the_log(
    home: TestHouse, operator: Operator, tmp_path: Path
) -> None:
    with serving(environment_of(home, tmp_path, operator), tmp_path / "log") as server:
        given = server.ask("POST", "/carrier/example-http/text", **callback("H07 -12", "a-1"))
        assert given.status == 200
        seen = wait_for(lambda: operator.seen)[0]
        sent = json.loads(seen.body)
        assert sent["to"] == READER.reveal()
        assert "Do not irrigate yet" in sent["text"]
        receipt = signed({"message": {"id": "op-1", "state": "delivered"}})
        wait_for(lambda: log_of(home)[0].sent[0].state == "handed over")
        assert server.ask("POST", "/carrier/example-http/receipt", **receipt).status == 200
        (line,) = log_of(home)
        assert (line.body, line.outcome) == ("H07 -12", "accept")
        assert [s.state for s in line.sent] == ["delivered"]
    assert server.process.returncode == 0


def test_the_same_callback_twice_is_one_text_and_one_answer(
    home: TestHouse, operator: Operator, tmp_path: Path
) -> None:
    with serving(environment_of(home, tmp_path, operator), tmp_path / "log") as server:
        for _ in range(3):
            given = server.ask("POST", "/carrier/example-http/text", **callback("H07 -12", "a-1"))
            assert given.status == 200
        wait_for(lambda: operator.seen)
        time.sleep(1)
        assert len(operator.seen) == 1
        assert len(log_of(home)) == 1


@pytest.mark.parametrize(
    ("status", "make"),
    [
        (401, lambda: signed({"from": "+12025550107"}, secret="somebody else's")),
        (401, lambda: signed({"from": "+12025550107"}, at=time.time() - 3600)),
        (401, lambda: {"body": b"{}", "headers": {}}),
        (422, lambda: signed({"message": {"text": "H07 -12", "id": "b-1"}})),
        (422, lambda: signed({"from": "nobody", "message": {"text": "H07", "id": "b-2"}})),
    ],
    ids=["forged", "too old", "unsigned", "no sender", "sender is no number"],
)
def test_bad_callbacks_are_refused_and_bring_nothing_down(
    home: TestHouse, operator: Operator, tmp_path: Path, status: int, make
) -> None:  # type: ignore[no-untyped-def]
    with serving(environment_of(home, tmp_path, operator), tmp_path / "log") as server:
        given = server.ask("POST", "/carrier/example-http/text", **make())
        assert given.status == status
        assert server.ask("GET", "/health").status == 200
    assert "Traceback" not in server.log.read_text("utf-8")
    kept = home.house.store.views.unreadable(10)
    assert len(kept) == (1 if status == 422 else 0)


def test_a_server_killed_in_the_middle_loses_no_answer(
    home: TestHouse, operator: Operator, tmp_path: Path
) -> None:
    environment = environment_of(home, tmp_path, operator)
    operator.behaviour = answering(503, {})  # a certain refusal: the answer waits to be tried again
    with serving(environment, tmp_path / "log") as server:
        texts = [("H07 -12", "k-1"), ("H07 -13", "k-2"), ("H07 -14", "k-3")]
        for body, reference in texts:
            given = server.ask("POST", "/carrier/example-http/text", **callback(body, reference))
            assert given.status == 200
        server.process.kill()
        server.process.wait()
    lines = log_of(home)
    assert sorted(line.body or "" for line in lines) == ["H07 -12", "H07 -13", "H07 -14"]
    assert all(len(line.sent) == 1 for line in lines)
    with serving(environment, tmp_path / "log") as server:
        assert server.ask("GET", "/health").status == 200
        given = server.ask("POST", "/carrier/example-http/text", **callback(*texts[0]))
        assert given.status == 200
    assert len(log_of(home)) == 3


def test_a_ussd_dialogue_reports_a_reading_and_the_advice_follows_by_text(
    home: TestHouse, operator: Operator, tmp_path: Path
) -> None:
    with serving(environment_of(home, tmp_path, operator), tmp_path / "log") as server:

        def step(entry: str, kind: str = "next"):  # type: ignore[no-untyped-def]
            body = {"session": "s1", "from": READER.reveal(), "entry": entry, "step": kind}
            given = server.ask("POST", "/carrier/example-http/ussd", **signed(body))
            assert given.status == 200
            return json.loads(given.data)

        assert step("*707#", "begin")["step"] == "ask"
        assert step("1")["step"] == "ask"  # the water in the tube
        assert step("1")["step"] == "ask"  # below
        end = step("12")
        assert end["step"] == "end"
        assert "H07" in end["screen"]
        sent = json.loads(wait_for(lambda: operator.seen)[0].body)
        assert "12 cm BELOW" in sent["text"]
        assert [line.body for line in log_of(home) if line.body] == ["H07 BELOW 12"]


def noon_zone() -> str:
    """A zone in which it is about noon now, so that no quiet hour is near."""
    ahead = (12 - datetime.now(UTC).hour + 12) % 24 - 12
    return f"Etc/GMT{-ahead:+d}" if ahead else "Etc/GMT"


def test_a_real_tick_owes_the_flowering_window_once(
    sqlite_url: str, operator: Operator, tmp_path: Path
) -> None:
    home = open_test_house(sqlite_url, zone=noon_zone())
    home.clock.move_to(datetime.now(UTC))
    home.add_plot("K12", READER, planted_days_ago=62)
    with serving(environment_of(home, tmp_path, operator), tmp_path / "log"):
        # It leaves within the spread of a morning, so what is looked at is what was owed.
        (text,) = wait_for(lambda: flowering_texts(home))
        assert "K12" in text
        time.sleep(1.5)  # several ticks more
    assert flowering_texts(home) == [text]


def flowering_texts(home: TestHouse) -> list[str]:
    """The texts that tell of the flowering window, in whatever state."""
    told = select(outbox.c.text).where(outbox.c.topic == "flowering-begins")
    with home.house.store.begin_work(write=False) as work:
        return [row.text for row in work.rows(told)]


# -- a known number is nowhere in full ------------------------------------------------------------


def everything_said(server: Server) -> str:
    pages = ["/health", "/log", "/plots", "/plots/H07", "/unclear", "/phones", "/nowhere"]
    return "".join(server.ask("GET", page).data.decode() for page in pages)


def test_no_number_stands_in_a_log_or_a_callbacks_answer(
    home: TestHouse, operator: Operator, tmp_path: Path
) -> None:
    digits = READER.reveal().lstrip("+")
    environment = environment_of(home, tmp_path, operator) | {"GATEWAY_LOG_LEVEL": "debug"}
    operator.behaviour = answering(500, {"message": {"error": f"cannot reach {READER.reveal()}"}})
    said = []
    with serving(environment, tmp_path / "log") as server:
        for number, body in enumerate(["H07 -12", f"call me at {READER.reveal()}", "\x00", ""]):
            given = server.ask(
                "POST", "/carrier/example-http/text", **callback(body, f"n-{number}")
            )
            said.append(given.data.decode())
        for bad in ({"from": READER.reveal()}, {"from": READER.reveal() + "00000000000"}):
            given = server.ask("POST", "/carrier/example-http/text", **signed(bad))
            said.append(given.data.decode())
        wait_for(lambda: operator.seen)
        time.sleep(0.5)
        said.append(everything_said(server))
    said.append(server.log.read_text("utf-8"))
    assert len(said[-1]) > 100
    assert all(digits[1:] not in one for one in said)
