"""Numbers never lie in the open: not in the database, not in an error, not in a log."""

import hashlib
import hmac
import logging
import traceback
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select

from gateway.advisory.number import Number
from gateway.advisory.records import Receipt, Understood
from gateway.store.cipher import Keys, NotOurCipher, SecretTooShort
from gateway.store.columns import metadata
from gateway.store.engine import SqlStore, open_store
from gateway.store.tables.places import phone
from gateway.store.tables.traffic import unreadable
from gateway.store.work import RuleBroken
from tests.databases import KEYS, SECRET
from tests.store.field import NOW, NUMBER, OTHER, Field, parcel, put, sow, text

DIGITS = NUMBER.reveal().removeprefix("+")


def use(store: SqlStore) -> Field:
    """One of everything that has to do with a number."""
    field = sow(store)
    put(store, field)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(reference=None), NOW)
        unit.texts.keep(field.scheme.id, text(reference=f"{DIGITS}-1"), NOW)
        unit.texts.settle(kept.id, Understood("accept", "reading", {"on": None}))
        unit.texts.keep_unreadable("simulator", f"from={DIGITS}".encode(), f"what: {DIGITS}", NOW)
        unit.dialogues.put(field.phone.id, "simulator", f"{DIGITS}-session", "{}", False, NOW)
        unit.receipts.keep(Receipt("simulator", "r", "delivered", "DELIVRD", NOW))
        who = {"phone": NUMBER, "said": f"number {DIGITS}", "many": 3}
        unit.office.audit(field.scheme.id, "officer", "looked", who, NOW)
        unit.commit()
    return field


def stored(store: SqlStore) -> Iterator[bytes]:
    """Every value of every table, as bytes."""
    with store.begin_work(write=False) as work:
        for table in metadata.sorted_tables:
            for row in work.conn.execute(select(table)):
                for value in row:
                    yield value if isinstance(value, bytes) else repr(value).encode()


def test_no_table_holds_a_number_in_the_open(store: SqlStore) -> None:
    use(store)
    values = list(stored(store))
    assert any(b"DELIVRD" in value for value in values)
    assert not any(DIGITS.encode() in value for value in values)


def test_the_file_itself_holds_no_number(sqlite_url: str) -> None:
    store = open_store(sqlite_url, KEYS)
    use(store)
    path = sqlite_url.removeprefix("sqlite:///")
    raw = b"".join(Path(path + end).read_bytes() for end in ("", "-wal"))
    store.close()
    assert b"DELIVRD" in raw
    assert DIGITS.encode() not in raw


def test_no_log_of_statements_shows_a_number(
    store: SqlStore, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.DEBUG, logger="sqlalchemy"):
        use(store)
    assert "INSERT INTO phone" in caplog.text
    assert DIGITS not in caplog.text


def test_no_error_shows_a_number_or_a_text(store: SqlStore) -> None:
    field = use(store)
    secret = parcel(field, plot_id=999, text=f"ring me: {DIGITS}")
    with pytest.raises(RuleBroken) as broken, store.begin() as unit:
        unit.outbox.put(secret, NOW)
    shown = "".join(traceback.format_exception(broken.value))
    assert "ring me" not in shown
    assert DIGITS not in shown


def test_a_number_that_comes_out_masks_itself(store: SqlStore) -> None:
    field = sow(store)
    shown = f"{field.phone!r} {field.phone.number}"
    assert field.phone.number.reveal() == NUMBER.reveal()
    assert DIGITS not in shown
    assert "•••••07" in shown


def test_one_number_is_one_phone_in_a_scheme(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        again = unit.people.phone_of(field.scheme.id, Number(NUMBER.reveal()), NOW)
        other = unit.people.phone_of(field.scheme.id, OTHER, NOW)
        assert (again.id, again.known) == (field.phone.id, True)
        assert (other.known, other.language, other.left) == (False, "en", False)
        assert other.id != again.id


def test_the_tables_refuse_a_second_phone_of_one_mark(store: SqlStore) -> None:
    sow(store)
    with pytest.raises(RuleBroken, match="mark"), store.begin_work() as work:  # noqa: PT012
        row = work.conn.execute(select(phone)).one()._asdict()
        work.run(phone.insert(), **{name: row[name] for name in row if name != "id"})


def test_the_same_number_is_marked_differently_in_another_scheme(store: SqlStore) -> None:
    sow(store, "ONE")
    sow(store, "TWO")
    with store.begin_work() as work:
        rows = work.rows(select(phone.c.mark, phone.c.number))
    assert len({row.mark for row in rows}) == 2
    assert len({bytes(row.number) for row in rows}) == 2


def test_bytes_that_could_not_be_read_come_back_as_they_were(store: SqlStore) -> None:
    raw = b"\x00\xff" + DIGITS.encode()
    with store.begin() as unit:
        unit.texts.keep_unreadable("simulator", raw, "no such field", NOW)
        row = unit.work.rows(select(unreadable))[0]
    assert raw not in row.raw
    assert KEYS.open(row.raw, "unreadable") == raw


def test_a_new_secret_in_front_still_opens_and_finds_what_the_old_one_wrote(
    store: SqlStore, database_url: str
) -> None:
    field = sow(store)
    with store.begin() as unit:
        kept = unit.texts.keep(field.scheme.id, text(), NOW)
        unit.commit()
    renewed = open_store(database_url, Keys.from_master("another secret, long enough", SECRET))
    with renewed.begin() as unit:
        assert unit.people.phone_of(field.scheme.id, NUMBER, NOW).id == field.phone.id
        assert unit.people.phone(field.phone.id).number == NUMBER
        repeat = unit.texts.keep(field.scheme.id, text(), NOW)
        assert (repeat.id, repeat.fresh) == (kept.id, False)
        unit.people.phone_of(field.scheme.id, OTHER, NOW)
        unit.commit()
    renewed.close()
    stranger = open_store(database_url, Keys.from_master("a third secret, long enough"))
    with pytest.raises(NotOurCipher), stranger.begin() as unit:
        unit.people.phone(field.phone.id)
    stranger.close()


def test_what_was_changed_or_is_for_another_purpose_does_not_open() -> None:
    sealed = KEYS.seal(b"plain", "one purpose")
    changed = sealed[:-1] + bytes([sealed[-1] ^ 1])
    for wrong, purpose in ((changed, "one purpose"), (sealed, "another"), (b"", "one purpose")):
        with pytest.raises(NotOurCipher):
            KEYS.open(wrong, purpose)
    assert KEYS.open(sealed, "one purpose") == b"plain"
    assert KEYS.seal(b"plain", "one purpose") != sealed


def test_a_mark_is_hmac_sha_256_under_a_key_derived_by_hkdf() -> None:
    """Computed again by RFC 5869 and RFC 2104 with the standard library alone."""
    pseudorandom = hmac.new(bytes(32), SECRET.encode(), hashlib.sha256).digest()
    key = hmac.new(pseudorandom, b"gateway store mark\x01", hashlib.sha256).digest()
    assert KEYS.mark("x", "p") == hmac.new(key, b"p\x00x", hashlib.sha256).digest()


def test_a_short_secret_is_refused_by_its_length_alone() -> None:
    with pytest.raises(SecretTooShort) as short:
        Keys.from_master("shorty")
    assert (short.value.length, "shorty" in str(short.value)) == (6, False)
    assert SECRET not in repr(KEYS)
