"""Office users, and what they did."""

from collections.abc import Mapping
from datetime import datetime
from functools import cache
from typing import Any, Final

from sqlalchemy import Row, bindparam, insert, select
from werkzeug.security import check_password_hash, generate_password_hash

from gateway.advisory.errors import AlreadyOnRecord
from gateway.advisory.number import hide_numbers
from gateway.advisory.records import OfficeUser
from gateway.store.columns import storable
from gateway.store.tables.office import audit, office_user
from gateway.store.work import Repository, added_once

ADD: Final = added_once(office_user, "name")
BY_NAME: Final = select(office_user).where(office_user.c.name == bindparam("the_name"))
BY_ID: Final = select(office_user).where(office_user.c.id == bindparam("the_user"))
NOTE: Final = insert(audit)


class SqlOffice(Repository):
    """Who may sign in, by name, and the audit."""

    def add_user(
        self, scheme_id: int, name: str, role: str, password: str, now: datetime
    ) -> OfficeUser:
        """A new user; the password is kept as a scrypt hash. Raises AlreadyOnRecord."""
        new = self.work.number_or_none(
            ADD,
            scheme_id=scheme_id,
            name=name,
            role=role,
            password=hash_password(password),
            since=now,
        )
        if new is None:
            raise AlreadyOnRecord("user", name)
        return user_of(self.work.need("user", new, BY_ID, the_user=new))

    def check(self, name: str, password: str) -> OfficeUser | None:
        """The active user of that name and password; an unknown name takes as long to refuse."""
        row = self.work.row(BY_NAME, the_name=name)
        held = nobodys_hash() if row is None else row.password
        right = check_password_hash(held, storable(password))
        return user_of(row) if row is not None and right and row.active else None

    def user(self, user_id: int) -> OfficeUser | None:
        """A user by number, active or not."""
        row = self.work.row(BY_ID, the_user=user_id)
        return row and user_of(row)

    def audit(
        self, scheme_id: int | None, who: str, what: str, on: Mapping[str, Any], now: datetime
    ) -> None:
        """Note who did what on what; phone numbers in it are masked."""
        noted = {name: _noted(value) for name, value in on.items()}
        self.work.run(NOTE, scheme_id=scheme_id, who=who, what=what, on=noted, at=now)


def hash_password(password: str) -> str:
    """A salted scrypt hash. Source: RFC 7914, with the cost that werkzeug sets."""
    return generate_password_hash(storable(password), method="scrypt")


@cache
def nobodys_hash() -> str:
    """A hash that no password is kept under, to spend the same time on it."""
    return hash_password("nobody")


def user_of(row: Row[Any]) -> OfficeUser:
    """A user from its row."""
    return OfficeUser(row.id, row.scheme_id, row.name, row.role, active=row.active)


def _noted(value: Any) -> Any:
    if value is None or isinstance(value, (bool, int, float)):
        return value
    return hide_numbers(str(value))
