"""A small invented scheme in a store: one block, some plots, one phone that reads them."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from gateway.advisory.number import Number
from gateway.advisory.parcels import NewParcel
from gateway.advisory.records import Inbound, Phone, Scheme
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.store.engine import SqlStore

NOW = datetime(2026, 2, 14, 1, 2, 3, 456789, tzinfo=UTC)
TODAY = date(2026, 2, 14)
NUMBER = Number("+12025550107")
OTHER = Number("+12025550108")
PLANTED = date(2026, 1, 20)


@dataclass(frozen=True)
class Field:
    """The numbers of what was sown."""

    scheme: Scheme
    block_id: int
    plot_id: int
    season_id: int
    grower_id: int
    phone: Phone


def sow(store: SqlStore, code: str = "UPR") -> Field:
    """A scheme with plot H07, planted on PLANTED, read by NUMBER."""
    with store.begin() as unit:
        scheme = unit.schemes.add(code, "Upper Reach", "Reach", "Asia/Manila", "en")
        block_id = unit.schemes.add_block(scheme.id, "Upper", "U1", 30.0)
        plot_id = unit.schemes.add_plot(scheme.id, block_id, Plot("H07", area_ha=0.4), "Hillside")
        season_id = unit.schemes.add_season(plot_id, Season("transplanted", PLANTED), "Invented")
        grower_id = unit.schemes.add_grower(scheme.id, "A. Grower")
        unit.schemes.assign_grower(plot_id, grower_id)
        phone = unit.people.phone_of(scheme.id, NUMBER, NOW)
        unit.people.enrol_reader(phone.id, plot_id, grower_id, "fil", "soil", NOW)
        phone = unit.people.phone(phone.id)
        unit.commit()
    return Field(scheme, block_id, plot_id, season_id, grower_id, phone)


def text(body: str = "H07 -12", reference: str | None = "r1", **changes: object) -> Inbound:
    """A text from NUMBER."""
    values = {"carrier": "simulator", "sender": NUMBER, "received_at": NOW} | changes
    return Inbound(body=body, reference=reference, **values)  # type: ignore[arg-type]


def parcel(field: Field, **changes: object) -> NewParcel:
    """An answer to the phone of the field, valid for a day."""
    values = {
        "scheme_id": field.scheme.id,
        "phone_id": field.phone.id,
        "carrier": "simulator",
        "text": "H07: wait",
        "language": "en",
        "kind": "answer",
        "not_before": NOW,
        "valid_until": NOW + timedelta(days=1),
    } | changes
    return NewParcel(**values)  # type: ignore[arg-type]


def put(store: SqlStore, field: Field, **changes: object) -> int:
    """Put one text in the outbox and commit."""
    with store.begin() as unit:
        new = unit.outbox.put(parcel(field, **changes), NOW)
        unit.commit()
    assert new is not None
    return new
