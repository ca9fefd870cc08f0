"""Parcels as rows: the statement that reads them, with the phone and the zone they go to."""

from typing import Any, Final

from sqlalchemy import Row, Select, bindparam, select

from gateway.advisory.parcels import Parcel, State
from gateway.store.cipher import Keys
from gateway.store.numbers import open_number
from gateway.store.tables.places import phone, scheme
from gateway.store.tables.traffic import outbox

PARCELS: Final[Select[Any]] = (
    select(outbox, phone.c.number, phone.c.left_at, scheme.c.zone)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .join(scheme, scheme.c.id == outbox.c.scheme_id)
)
BY_REFERENCE: Final = (
    PARCELS.where(
        outbox.c.carrier == bindparam("the_carrier"),
        outbox.c.carrier_reference == bindparam("the_reference"),
    )
    .order_by(outbox.c.id.desc())
    .limit(1)
)


def parcel_of(row: Row[Any], keys: Keys) -> Parcel:
    """A parcel from a row of PARCELS; its number opens as a value that masks itself."""
    return Parcel(
        id=row.id,
        scheme_id=row.scheme_id,
        phone_id=row.phone_id,
        to=open_number(row.number, keys),
        carrier=row.carrier,
        text=row.text,
        language=row.language,
        kind=row.kind,
        state=State(row.state),
        not_before=row.not_before,
        valid_until=row.valid_until,
        safety=row.safety,
        asks=row.asks,
        attempts=row.attempts,
        lease_until=row.lease_until,
        carrier_reference=row.carrier_reference,
        resend_of=row.resend_of,
        in_reply_to=row.in_reply_to,
        advice_id=row.advice_id,
        duty_id=row.duty_id,
        plot_id=row.plot_id,
        phone_left=row.left_at is not None,
        zone=row.zone,
        topic=row.topic,
    )
