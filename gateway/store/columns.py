"""Column types that behave alike on SQLite and PostgreSQL, and the one MetaData of the store."""

import unicodedata
from datetime import UTC, datetime
from typing import Any, Final

from sqlalchemy import JSON, BigInteger, Column, DateTime, Dialect, ForeignKey, Integer, MetaData
from sqlalchemy import String as SqlString
from sqlalchemy.types import TypeDecorator

metadata: Final = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)

# SQLite numbers rows by itself only where the type is INTEGER to the letter.
BIG: Final = BigInteger().with_variant(Integer(), "sqlite")
PLAIN: Final = JSON(none_as_null=True)


class Utc(TypeDecorator[datetime]):
    """An instant: aware in, aware in UTC out. A naive time is refused with ValueError."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without a zone cannot be stored")
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class Words(TypeDecorator[str]):
    """Text of people: in NFC, without what a database cannot hold (see ``storable``)."""

    impl = SqlString
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else storable(value)


def storable(text: str) -> str:
    """``text`` in NFC, NUL and lone surrogates replaced by U+FFFD.

    PostgreSQL refuses NUL, and UTF-8 has no lone surrogates. Source: Unicode Annex 15 (NFC) and
    the Unicode standard, section 3.9 (replacement of ill-formed code units by U+FFFD).
    """
    if text.isascii():
        return text.replace("\x00", "�")
    return unicodedata.normalize("NFC", _no_surrogates(text)).replace("\x00", "�")


def flaws_of(text: str) -> tuple[str, ...]:
    """What ``storable`` has to replace in ``text``: nul, surrogate."""
    nul = ("nul",) if "\x00" in text else ()
    return nul if text.isascii() or _no_surrogates(text) == text else (*nul, "surrogate")


def _no_surrogates(text: str) -> str:
    return "".join("�" if "\ud800" <= letter <= "\udfff" else letter for letter in text)


def key() -> Column[int]:
    """The number of a row."""
    return Column("id", BIG, primary_key=True)


def link(name: str, to: str, null: bool = False, index: bool = False) -> Column[Any]:
    """A column that points at a row of another table."""
    return Column(name, BIG, ForeignKey(f"{to}.id"), nullable=null, index=index)


def scheme_link(null: bool = False) -> Column[Any]:
    """The scheme that a row belongs to; every row carries it."""
    return link("scheme_id", "scheme", null=null)
