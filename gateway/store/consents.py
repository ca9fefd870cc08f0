"""Consent: who agreed to get texts, and of whom it was asked again. Rows are only added."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final, Literal

from sqlalchemy import BindParameter, bindparam, func, insert, select

from gateway.advisory.joins import Heard
from gateway.store.tables.people import consent
from gateway.store.tables.places import phone, scheme
from gateway.store.tables.traffic import outbox, text_in
from gateway.store.work import Repository

THE_PHONE: Final[BindParameter[Any]] = bindparam("the_phone")
NOTE: Final = insert(consent).values(
    scheme_id=select(phone.c.scheme_id).where(phone.c.id == THE_PHONE).scalar_subquery(),
    phone_id=THE_PHONE,
)
LAST: Final = (
    select(consent.c.how, consent.c.at, consent.c.about)
    .where(consent.c.phone_id == THE_PHONE)
    .order_by(consent.c.id.desc())
    .limit(1)
)
# The newest text of the phone: it has an index by phone and number.
WROTE: Final = (
    select(text_in.c.kept_at)
    .where(
        text_in.c.id
        == select(func.max(text_in.c.id)).where(text_in.c.phone_id == THE_PHONE).scalar_subquery()
    )
    .scalar_subquery()
)
PHONE: Final = (
    select(
        phone.c.since,
        phone.c.language,
        phone.c.letters,
        scheme.c.short_name,
        WROTE.label("wrote_at"),
    )
    .join(scheme, scheme.c.id == phone.c.scheme_id)
    .where(phone.c.id == THE_PHONE)
)
REFUSED: Final = (
    select(outbox.c.state_at, outbox.c.words)
    .where(outbox.c.phone_id == THE_PHONE, outbox.c.state == "undeliverable")
    .order_by(outbox.c.id.desc())
    .limit(1)
)


class SqlConsents(Repository):
    """Consent by phone; the last row tells."""

    def note(
        self,
        phone_id: int,
        how: Literal["given", "asked"],
        about: Mapping[str, Any],
        now: datetime,
    ) -> None:
        """Add a row."""
        self.work.run(NOTE, the_phone=phone_id, how=how, about=dict(about), at=now)

    def heard(self, phone_id: int) -> Heard:
        """When the phone was last heard of. Raises NotOnRecord."""
        about = self.work.need("phone", phone_id, PHONE, the_phone=phone_id)
        last = self.work.row(LAST, the_phone=phone_id)
        refused = self.work.row(REFUSED, the_phone=phone_id)
        times = [about.since, about.wrote_at, last.at if last is not None else None]
        return Heard(
            last is not None and last.how == "asked",
            str(last.about.get("why", "")) if last is not None else "",
            max(moment for moment in times if moment is not None),
            about.language,
            about.letters,
            about.short_name,
            refused.state_at if refused is not None else None,
            refused.words if refused is not None else "",
        )
