"""Enrol office users; each enrolment leaves an audit row."""

from gateway.advisory.errors import GatewayError
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import OfficeUser

SHORTEST = 10


class WeakPassword(GatewayError):
    """A password that is too short to keep."""

    def __str__(self) -> str:
        return f"a password needs {SHORTEST} characters or more"


def add_office_user(
    store: Store, clock: Clock, scheme_id: int, name: str, role: str, password: str
) -> OfficeUser:
    """Add somebody who may sign in. Raises WeakPassword, AlreadyOnRecord."""
    if len(password) < SHORTEST:
        raise WeakPassword
    with store.begin() as unit:
        added = unit.office.add_user(scheme_id, name, role, password, clock.now())
        unit.office.audit(
            scheme_id, "command line", "user added", {"name": name, "role": role}, clock.now()
        )
        unit.commit()
    return added
