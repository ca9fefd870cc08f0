"""Decide on a request to join: let the phone read the plot or refuse it; all concerned are told."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.joins import Joining, PlotHeld
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Phone, Scheme
from gateway.advisory.tellphone import notice_of

NO_NAME: Final = "not told"


@dataclass(frozen=True, slots=True)
class Decision:
    """What an officer decides beside yes: ``code`` of the plot, as corrected.

    ``farms``: whoever asks farms the plot from now on; else they read it for its grower.
    ``instead``: the phones that read it so far do so no more.
    """

    code: str
    farms: bool = False
    instead: bool = False


@dataclass(frozen=True, slots=True)
class DecideJoining:
    """What an officer does with a request; each decision leaves an audit row."""

    store: Store
    clock: Clock
    papers: Papers
    wake: Callable[[], None]

    def confirm(self, scheme: Scheme, request_id: int, who: str, decision: Decision) -> None:
        """Let the phone read the plot. Raises NotOnRecord: no such plot, or settled already."""
        with self.store.begin() as unit:
            joining = self._waiting(unit, scheme, request_id)
            held = unit.joinings.plot_like(scheme.id, decision.code.strip())
            if held is None:
                raise NotOnRecord("plot", decision.code)
            now = self.clock.now()
            let_read(unit, self.papers, scheme, joining, held, who, now, decision)
            note = {"plot": held.code, "farms": decision.farms, "instead": decision.instead}
            unit.office.audit(scheme.id, who, "request to join confirmed", note, now)
            unit.commit()
        self.wake()

    def refuse(self, scheme: Scheme, request_id: int, who: str) -> None:
        """Refuse it. Raises NotOnRecord where it is settled already."""
        with self.store.begin() as unit:
            joining, now = self._waiting(unit, scheme, request_id), self.clock.now()
            unit.joinings.settle(joining.id, "refused", who, None, now)
            phone = unit.people.phone(joining.phone_id)
            tell(
                unit, self.papers, scheme, joining, phone, self.papers.joining.ends["refused"], now
            )
            told = {"request": joining.id, "plot": joining.answers.get("plot", "")}
            unit.office.audit(scheme.id, who, "request to join refused", told, now)
            unit.commit()
        self.wake()

    def _waiting(self, unit: Unit, scheme: Scheme, request_id: int) -> Joining:
        joining = unit.joinings.get(scheme.id, request_id)
        if joining.state != "waiting":
            raise NotOnRecord("open request", str(request_id))
        return joining


def let_read(
    unit: Unit,
    papers: Papers,
    scheme: Scheme,
    joining: Joining,
    held: PlotHeld,
    who: str,
    now: datetime,
    decision: Decision | None = None,
) -> None:
    """Let the phone of a request read a plot; it is told, and so are those that read it so far."""
    if not unit.joinings.settle(joining.id, "confirmed", who, held.plot_id, now):
        raise NotOnRecord("open request", str(joining.id))
    told, farms = joining.answers, bool(decision and decision.farms)
    grower_id = _grower(unit, scheme, held, told.get("name", NO_NAME), farms)
    language, reads = told.get("language", joining.language), told.get("reads") or None
    unit.people.enrol_reader(joining.phone_id, held.plot_id, grower_id, language, reads, now)
    phone = unit.people.phone(joining.phone_id)
    ends = papers.joining.ends
    tell(unit, papers, scheme, joining, phone, ends["confirmed"], now, plot=held.code)
    for other in held.holders:
        if other.id != phone.id:
            _tell_holder(unit, papers, scheme, joining, held, other, phone, now, decision)


def _grower(unit: Unit, scheme: Scheme, held: PlotHeld, name: str, farms: bool) -> int:
    """Whom the plot is read for: its grower, or who asked, where there is none or it is theirs."""
    if held.grower_id is not None and not farms:
        return held.grower_id
    grower_id = unit.schemes.add_grower(scheme.id, name)
    unit.schemes.assign_grower(held.plot_id, grower_id)
    return grower_id


def _tell_holder(
    unit: Unit,
    papers: Papers,
    scheme: Scheme,
    joining: Joining,
    held: PlotHeld,
    other: Phone,
    phone: Phone,
    now: datetime,
    decision: Decision | None,
) -> None:
    instead = bool(decision and decision.instead)
    if instead:
        unit.joinings.end_reader(other.id, held.plot_id)
    rules = papers.joining.holder
    msgid, ending = rules.replaced if instead else rules.told, phone.number.masked[-2:]
    tell(unit, papers, scheme, joining, other, msgid, now, plot=held.code, ending=ending)


def tell(
    unit: Unit,
    papers: Papers,
    scheme: Scheme,
    joining: Joining,
    phone: Phone,
    msgid: str,
    now: datetime,
    **fields: str,
) -> None:
    """One notice about a request to one phone, outside the quiet hours, once."""
    own = phone.language if phone.known else joining.language
    key = f"joining:{joining.id}:{msgid}:{phone.id}:{joining.moved_at.timestamp():.0f}"
    notice = notice_of(papers, scheme, phone, joining.carrier, own, msgid, key, now, **fields)
    unit.outbox.put(notice, now)
