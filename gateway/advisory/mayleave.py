"""May this text go to this phone now? The one place where that is decided, right before it goes.

Each check is a function of the text, asked in the order of CHECKS; the first that objects rules.
Answers and questions to a grower's own text are exempt from all; notices ask for consent alone.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final, Literal

from gateway.advisory.broadcasts import CANCELLED, PAUSED, id_of
from gateway.advisory.budget import Budget, next_day
from gateway.advisory.customs import Customs, spread_of
from gateway.advisory.due import CALL
from gateway.advisory.duties import Weekly
from gateway.advisory.parcels import Parcel
from gateway.advisory.ports import Unit
from gateway.advisory.spend import is_stopped

STARTED_BY_OFFICE: Final = frozenset({"duty", "broadcast"})
WEEK: Final = timedelta(days=7)
DOUBTED: Final = "consent asked again"
LEFT, QUIET, ENOUGH = "phone left", "quiet hours", "enough texts this week"
RESTS: Final = "advice rests"
ASKED_ENOUGH: Final = "enough paid answers asked this week"
SPENT: Final = "the month's money is spent"


@dataclass(frozen=True, slots=True)
class Ruling:
    """``withdraw`` it for good, or ``hold`` it until a moment; ``words`` say why."""

    verdict: Literal["withdraw", "hold"]
    words: str
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class MayLeave:
    """The checks, and what they go by. ``grower_pays``: carriers on which an answer costs them.

    ``doubt`` says until when a text waits for a phone that may have another owner by now.
    """

    customs: Customs
    weekly: Weekly
    grower_pays: frozenset[str]
    doubt: Callable[[Unit, Parcel, datetime], datetime | None]
    budget: Budget = field(default_factory=Budget)

    def __call__(self, unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
        """None: it may go. Asked behind the write lock, with the text claimed."""
        if parcel.kind == "notice":
            return consents(self, unit, parcel, now)
        if parcel.kind not in STARTED_BY_OFFICE:
            return None
        rulings = (check(self, unit, parcel, now) for check in CHECKS)
        return next((ruling for ruling in rulings if ruling), None)


def consents(_may: MayLeave, _unit: Unit, parcel: Parcel, _now: datetime) -> Ruling | None:
    """Whoever left gets nothing that the office starts, crop safety included."""
    return Ruling("withdraw", LEFT) if parcel.phone_left else None


def is_let_go(_may: MayLeave, unit: Unit, parcel: Parcel, _now: datetime) -> Ruling | None:
    """A text of a broadcast that an officer has paused or cancelled meanwhile stays here."""
    number = id_of(parcel.topic)
    state = unit.broadcasts.state(number) if number is not None else None
    if state == "cancelled":
        return Ruling("withdraw", CANCELLED)
    return Ruling("hold", PAUSED, parcel.valid_until) if state == "paused" else None


def is_awake(may: MayLeave, _unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
    """Nothing leaves in the quiet hours of the scheme's zone."""
    opens = may.customs.next_open(now, parcel.zone)
    late = spread_of(parcel.phone_id, may.customs.quiet_spread)
    return Ruling("hold", QUIET, opens + late) if opens > now else None


def is_still_theirs(may: MayLeave, unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
    """Numbers are given to others: after a long silence nothing goes before a yes."""
    until = may.doubt(unit, parcel, now)
    return Ruling("hold", DOUBTED, until) if until else None


def is_not_resting(_may: MayLeave, unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
    """While the advice of a plot rests, no reminder about it leaves but to call the office."""
    if parcel.kind != "duty" or parcel.plot_id is None or parcel.topic == CALL:
        return None
    pause = unit.pauses.over([parcel.plot_id], now).get(parcel.plot_id)
    return Ruling("hold", RESTS, pause.ends_at) if pause else None


def is_within_the_week(may: MayLeave, unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
    """At most so many texts in any seven days, and so many answers asked that the grower pays."""
    if parcel.safety:
        return None
    week = unit.outbox.week_of(parcel, now - WEEK)
    asked = [sent for sent, asks in week if asks]
    if parcel.asks and parcel.carrier in may.grower_pays and len(asked) >= may.weekly.paid_asks:
        return Ruling("hold", ASKED_ENOUGH, _room(asked, may.weekly.paid_asks, now))
    if len(week) >= may.weekly.texts:
        return Ruling("hold", ENOUGH, _room([sent for sent, _ in week], may.weekly.texts, now))
    return None


def is_within_budget(may: MayLeave, unit: Unit, parcel: Parcel, now: datetime) -> Ruling | None:
    """At the month's cap only crop safety leaves; tomorrow it is asked again."""
    if parcel.safety or not is_stopped(unit, may.budget, parcel, now):
        return None
    return Ruling("hold", SPENT, next_day(now, parcel.zone))


def _room(sent: list[datetime | None], most: int, now: datetime) -> datetime:
    """When there is room for one more: a week after the oldest of those that fill it."""
    times = sorted(moment or now for moment in sent)
    return (times[-most] if most else now) + WEEK


CHECKS: Final[tuple[Callable[[MayLeave, Unit, Parcel, datetime], Ruling | None], ...]] = (
    consents,
    is_not_resting,
    is_let_go,
    is_awake,
    is_still_theirs,
    is_within_the_week,
    is_within_budget,
)
