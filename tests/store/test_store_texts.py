"""Texts in: each kept once, whatever letters it is made of."""

import threading
from datetime import datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from gateway.advisory.records import Understood
from gateway.store.columns import flaws_of, storable
from gateway.store.engine import SqlStore
from gateway.store.tables.traffic import text_in
from gateway.store.unit import SqlUnit
from tests.store.field import NOW, OTHER, sow, text


def row_of(unit: SqlUnit, text_id: int):
    return unit.work.rows(select(text_in).where(text_in.c.id == text_id))[0]


def test_a_text_is_kept_as_it_came_with_phone_and_scheme(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        row = row_of(unit, kept.id)
    assert (kept.fresh, kept.phone, kept.scheme) == (True, field.phone, field.scheme)
    assert (row.body, row.received_at, row.outcome, row.flaws) == ("H07 -12", NOW, None, None)


@pytest.mark.parametrize(
    ("second", "fresh"),
    [
        (text(), False),
        (text("other words, same reference"), False),
        (text(reference="r2"), True),
        (text(carrier="another"), True),
    ],
    ids=["repeat", "reference", "another-reference", "another-carrier"],
)
def test_a_repeat_is_that_text_and_not_fresh(store: SqlStore, second, fresh: bool) -> None:
    field = sow(store)
    with store.begin() as unit:
        first = unit.texts.keep(field.scheme.id, text(), NOW)
        unit.commit()
    with store.begin() as unit:
        again = unit.texts.keep(field.scheme.id, second, NOW)
    assert again.fresh is fresh
    assert (again.id == first.id) is not fresh


@pytest.mark.parametrize(
    ("changes", "fresh"),
    [
        ({}, False),
        ({"body": "H07 -13"}, True),
        ({"sender": OTHER}, True),
        ({"carrier_time": "2026-02-14T01:02:04Z"}, True),
    ],
    ids=["same", "other-body", "other-sender", "other-time"],
)
def test_without_a_reference_sender_body_and_time_make_a_text_one(
    store: SqlStore, changes, fresh: bool
) -> None:
    field = sow(store)
    same = {"body": "H07 -12", "reference": None, "carrier_time": "2026-02-14T01:02:03Z"}
    with store.begin() as unit:
        unit.texts.keep(field.scheme.id, text(**same), NOW)
        assert unit.texts.keep(field.scheme.id, text(**(same | changes)), NOW).fresh is fresh


def test_of_many_at_once_one_is_fresh(store: SqlStore) -> None:
    field = sow(store)
    seen: list[tuple[int, bool]] = []

    def keep() -> None:
        with store.begin() as unit:
            kept = unit.texts.keep(field.scheme.id, text(sender=OTHER), NOW)
            unit.commit()
        seen.append((kept.id, kept.fresh))

    threads = [threading.Thread(target=keep) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len({number for number, _ in seen}) == 1
    assert sorted(fresh for _, fresh in seen) == [False] * 7 + [True]


@pytest.mark.parametrize(
    ("body", "kept", "flaws"),
    [
        ("a\x00b", "a�b", ["nul"]),
        ("a\ud800b", "a�b", ["surrogate"]),
        ("é\x00\udfff", "é��", ["nul", "surrogate"]),
        ("e\u0301", "é", None),
        ("", "", None),
        ("x" * 10_000, "x" * 10_000, None),
        ("नमस्ते 🌾", "नमस्ते 🌾", None),
    ],
    ids=["nul", "surrogate", "both", "nfc", "empty", "long", "scripts"],
)
def test_any_text_can_be_stored_and_its_flaws_are_noted(
    store: SqlStore, body: str, kept: str, flaws: list[str] | None
) -> None:
    field = sow(store)
    with store.begin() as unit:
        row = row_of(unit, unit.texts.keep(field.scheme.id, text(body), NOW).id)
    assert (row.body, row.flaws) == (kept, flaws)


def test_flaws_that_the_carrier_saw_stand_before_ours(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text("\x00", flaws=("replaced-bytes",)), NOW)
        assert row_of(unit, kept.id).flaws == ["replaced-bytes", "nul"]


anything = st.text(alphabet=st.characters(codec=None, categories=None), max_size=40)


@given(body=anything)
@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_no_letters_stop_a_text(store: SqlStore, body: str) -> None:
    with store.begin() as unit:
        scheme = unit.schemes.add("X", "X", "X", "UTC", "en")
        kept = unit.texts.keep(scheme.id, text(body, reference=None), NOW)
        unit.texts.settle(kept.id, Understood("reject", body, {"said": body}, body))
        row = row_of(unit, kept.id)
    assert row.body == row.understood == row.failure == storable(body)
    assert row.meaning == {"said": body}
    assert bool(row.flaws) is bool(flaws_of(body))


def test_what_was_understood_is_noted_beside_the_text(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        unit.texts.settle(kept.id, Understood("accept", "a reading", {"readings": [1]}, "cause"))
        row = row_of(unit, kept.id)
    assert (row.outcome, row.understood, row.failure) == ("accept", "a reading", "cause")
    assert row.meaning == {"readings": [1]}


def test_the_text_before_is_that_of_the_same_phone(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        first = unit.texts.keep(field.scheme.id, text(reference="1"), NOW)
        unit.texts.keep(field.scheme.id, text(reference="2", sender=OTHER), NOW)
        third = unit.texts.keep(field.scheme.id, text(reference="3"), NOW)
        assert unit.texts.last_from(field.phone.id, third.id) == first.id
        assert unit.texts.last_from(field.phone.id, first.id) is None


def test_a_time_without_a_zone_is_refused(store: SqlStore) -> None:
    field = sow(store)
    with pytest.raises(Exception, match="without a zone"), store.begin() as unit:
        unit.texts.keep(field.scheme.id, text(), datetime(2026, 2, 14, 1, 2))  # noqa: DTZ001
