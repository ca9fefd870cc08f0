"""What the pages and routes work with: plain callables and ports, handed in by the composition."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, cast

from flask import current_app

from gateway.advisory.attention import Attention
from gateway.advisory.blockfact import TellBlock
from gateway.advisory.blockviews import BlockViews
from gateway.advisory.broadcast import Broadcasting
from gateway.advisory.broadcasts import BroadcastViews
from gateway.advisory.budget import Budget, SpendViews
from gateway.advisory.calendarviews import CalendarFilter, CalendarViews, Coming, SilentLine
from gateway.advisory.cards import MakeCards
from gateway.advisory.carrier_profile import CarrierProfile, Price
from gateway.advisory.decidejoin import DecideJoining
from gateway.advisory.duties import DutyRule
from gateway.advisory.joins import PeopleViews
from gateway.advisory.languages import LanguageLine
from gateway.advisory.number import Number
from gateway.advisory.pause import PauseAdvice
from gateway.advisory.ports import Clock, Listener, Store
from gateway.advisory.readerviews import ReaderViews
from gateway.advisory.recall import Recall
from gateway.advisory.records import Dial, Inbound, Receipt, Scheme, Screen
from gateway.advisory.report import PlotPage
from gateway.advisory.views import Views


class Phones(Protocol):
    """The simulated phones of a trial: what one texts travels in as from a real phone."""

    name: str

    def text(self, sender: Number, body: str) -> object:
        """Let the phone of that number text us."""


@dataclass(frozen=True)
class Many:
    """What the pages about broadcasts and costs need; ``price`` of the carrier that sends them."""

    use: Broadcasting
    views: BroadcastViews
    costs: SpendViews
    budget: Budget
    carriers: Sequence[CarrierProfile]
    soils: Sequence[str]

    @property
    def price(self) -> Price | None:
        """The price of a segment by the carrier that broadcasts leave by."""
        return self.carriers[0].price


@dataclass(frozen=True)
class Desk:
    """Everything that routes and pages need.

    ``ahead`` takes a scheme, the plots that are wanted and a number of days. ``plot_page`` takes
    scheme id and plot code and raises NotOnRecord. ``phones`` None: there is no simulator, and its
    page and routes are absent. ``dial_code`` is what one dials on it to open a USSD dialogue.
    ``health`` gives plain data with a key ``store`` that says ``ok`` when it is.
    """

    store: Store
    views: Views
    scheme: Callable[[], Scheme]
    listeners: Mapping[str, Listener]
    receive: Callable[[Inbound], object]
    settle: Callable[[Receipt], object]
    dial: Callable[[Dial], Screen]
    plot_page: Callable[[int, str], PlotPage]
    blocks: BlockViews
    readers: ReaderViews
    cards: MakeCards
    calendar: CalendarViews
    ahead: Callable[[Scheme, CalendarFilter, int], Coming]
    silence: Callable[[Scheme], list[SilentLine]]
    duties: Mapping[str, DutyRule]
    attend: Callable[[Scheme], Attention]
    people: PeopleViews
    pauses: PauseAdvice
    block_facts: TellBlock
    recall: Recall
    decide: DecideJoining
    languages: Callable[[], list[LanguageLine]]
    clock: Clock
    secret_key: str
    health: Callable[[], dict[str, Any]]
    many: Many
    phones: Phones | None = None
    dial_code: str = "*707#"


def the_desk() -> Desk:
    """The desk of the application that serves this request."""
    return cast(Desk, current_app.extensions["desk"])
