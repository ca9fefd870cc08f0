"""The one place that builds concrete parts and hands them to each other."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property, partial
from typing import Any

from flask import Flask

from gateway import __version__
from gateway.advisory.ahead import Ahead
from gateway.advisory.answer import Answer
from gateway.advisory.attention import Attend
from gateway.advisory.blockfact import TellBlock
from gateway.advisory.broadcast import Broadcasting
from gateway.advisory.broadcastput import PutBroadcasts
from gateway.advisory.broadcasts import BroadcastCustoms
from gateway.advisory.broadcastwords import Speaker
from gateway.advisory.budget import Budget
from gateway.advisory.cards import MakeCards
from gateway.advisory.carrier_profile import CarrierProfile
from gateway.advisory.consent import Doubt
from gateway.advisory.decidejoin import DecideJoining
from gateway.advisory.dial import Dialling
from gateway.advisory.dispatch import Dispatch
from gateway.advisory.errors import NotOnRecord
from gateway.advisory.explain import Explain
from gateway.advisory.languages import languages_of
from gateway.advisory.lapsejoin import LapseJoinings
from gateway.advisory.mayleave import MayLeave
from gateway.advisory.owe import Owe
from gateway.advisory.papers import Papers
from gateway.advisory.pause import PauseAdvice
from gateway.advisory.ports import Carrier, Clock, Listener, Unit
from gateway.advisory.recall import Recall
from gateway.advisory.receive import Receive
from gateway.advisory.records import Scheme
from gateway.advisory.report import ReportPlot
from gateway.advisory.settle import Settle
from gateway.advisory.silence import Silence
from gateway.advisory.tellphone import TellHolders
from gateway.carriers.http import HttpCarrier
from gateway.carriers.simulator import Simulator
from gateway.carriers.wire import Wire
from gateway.flowfiles.broadcasts import load_broadcasts, load_budget, load_never_said
from gateway.flowfiles.carriers import load_carriers
from gateway.flowfiles.kept import rules_of_then
from gateway.flowfiles.papers import read_papers
from gateway.flowfiles.sheets import load_sheet_bounds
from gateway.logs import open_log
from gateway.scheduler import Ticker
from gateway.settings import Settings, SettingsError
from gateway.store.cipher import Keys
from gateway.store.engine import SqlStore, open_store
from gateway.web.app import create_app
from gateway.web.desk import Desk, Many


class SystemClock:
    """The clock of this machine."""

    def now(self) -> datetime:
        """The present moment, in UTC."""
        return datetime.now(UTC)


class Bell:
    """Rung when something was put in the outbox; whoever sends may listen."""

    def __init__(self) -> None:
        self.listeners: list[Callable[[], None]] = []

    def __call__(self) -> None:
        for listener in self.listeners:
            listener()


@dataclass
class House:
    """Every part, built when first asked for, from one set of settings and one clock."""

    settings: Settings
    clock: Clock
    environment: Mapping[str, str]

    # -- store and papers -------------------------------------------------------------------------

    @cached_property
    def store(self) -> SqlStore:
        """The store. It is never migrated here: one that is not says so at its first use."""
        keys = Keys.from_master(*self.settings.all_phone_keys())
        return open_store(self.settings.database_url, keys)

    @cached_property
    def papers(self) -> Papers:
        """The papers, read once and kept in the store under their digests."""
        papers = read_papers(self.settings.flows, self.settings.locales)
        with self.store.begin() as unit:
            unit.advices.keep_paper(papers.rules.digest, papers.rules.files)
            for catalogue in (*papers.catalogues.values(), *papers.plain.values()):
                unit.advices.keep_paper(catalogue.digest, catalogue.words)
            unit.commit()
        return papers

    @cached_property
    def scheme(self) -> Scheme:
        """The scheme that this process serves."""
        with self.store.begin(write=False) as unit:
            return self._find_scheme(unit)

    def _find_scheme(self, unit: Unit) -> Scheme:
        if self.settings.scheme:
            return unit.schemes.by_code(self.settings.scheme)
        schemes = unit.schemes.all()
        if len(schemes) == 1:
            return schemes[0]
        if not schemes:
            raise NotOnRecord("scheme", "at all")
        codes = ", ".join(scheme.code for scheme in schemes)
        raise SettingsError(f"GATEWAY_SCHEME: several schemes are on record, name one of {codes}")

    # -- carriers ---------------------------------------------------------------------------------

    @cached_property
    def profiles(self) -> list[CarrierProfile]:
        """The carriers named by the settings, in their order."""
        known = load_carriers(self.settings.flows)
        wanted = [name.strip() for name in self.settings.carriers.split(",") if name.strip()]
        unknown = [name for name in wanted if name not in known]
        if unknown or not wanted:
            raise SettingsError(
                "GATEWAY_CARRIERS: no file of flows/carriers describes "
                f"{', '.join(unknown) or 'it'};"
                f" known: {', '.join(known)}"
            )
        return [known[name] for name in wanted]

    @cached_property
    def simulators(self) -> dict[str, Simulator]:
        """The carriers of this house whose operator lives in this process."""
        built = {}
        for profile in self.profiles:
            if profile.simulated:
                simulator = Simulator(profile, self.clock, self.environment)
                simulator.on_text, simulator.on_receipt = self.receive, self.settle
                built[profile.name] = simulator
        return built

    @cached_property
    def https(self) -> dict[str, HttpCarrier]:
        """The carriers of this house that are reached over HTTP."""
        wire = Wire()
        return {
            profile.name: HttpCarrier(profile, self.environment, wire)
            for profile in self.profiles
            if not profile.simulated
        }

    @property
    def carriers(self) -> dict[str, Carrier]:
        """Every carrier of this house, outbound."""
        return {**self.simulators, **self.https}

    @property
    def listeners(self) -> dict[str, Listener]:
        """Every carrier of this house, inbound."""
        return {**{n: s.listener for n, s in self.simulators.items()}, **self.https}

    # -- use cases --------------------------------------------------------------------------------

    @cached_property
    def bell(self) -> Bell:
        """Rings when something was put in the outbox."""
        return Bell()

    @cached_property
    def receive(self) -> Receive:
        """The way in. A mistake in the words of growers shows here, before anybody writes."""
        len(self.papers.vocabularies)
        return Receive(
            self.store, self.clock, Answer(self.papers), lambda unit: self.scheme.id, self.bell
        )

    @cached_property
    def settle(self) -> Settle:
        """The way of receipts."""
        return Settle(self.store, self.clock)

    @cached_property
    def dial(self) -> Dialling:
        """The way of USSD dialogues."""
        return Dialling(
            self.store, self.clock, self.papers, self.receive, lambda unit: self.scheme.id
        )

    @cached_property
    def owe(self) -> Owe:
        """What the calendar asks for."""
        return Owe(
            self.store, self.clock, self.papers, lambda scheme: self.profiles[0].name, self.bell
        )

    @cached_property
    def may_leave(self) -> MayLeave:
        """Decides whether a text may go to its phone now."""
        pays = {p.name for p in self.profiles if p.texts_in_paid_by == "grower"}
        customs, weekly = self.papers.customs, self.papers.duties.weekly
        return MayLeave(customs, weekly, frozenset(pays), Doubt(self.papers), self.budget)

    @cached_property
    def budget(self) -> Budget:
        """What a month's texts may cost, at the prices of the carriers' files."""
        prices = {p.name: p.price for p in self.profiles if p.price}
        return load_budget(self.settings.flows, prices)

    @cached_property
    def broadcast_customs(self) -> BroadcastCustoms:
        """How the office speaks to many."""
        return load_broadcasts(self.settings.flows)

    @cached_property
    def speaker(self) -> Speaker:
        """Says broadcasts in every language."""
        return Speaker(self.papers, load_never_said(self.settings.locales))

    @cached_property
    def broadcasting(self) -> Broadcasting:
        """What an officer does with a text to many."""
        return Broadcasting(
            self.store,
            self.clock,
            self.papers,
            self.speaker,
            self.broadcast_customs,
            lambda scheme: self.profiles[0].name,
            self.bell,
        )

    @cached_property
    def put_broadcasts(self) -> PutBroadcasts:
        """Puts the texts of released broadcasts in the outbox."""
        return PutBroadcasts(
            self.store,
            self.clock,
            self.speaker,
            self.broadcast_customs,
            lambda scheme: self.profiles[0].name,
            lambda: self.scheme,
            self.bell,
        )

    @cached_property
    def dispatchers(self) -> dict[str, Dispatch]:
        """One for each carrier."""
        return {
            name: Dispatch(
                self.store,
                self.clock,
                self.papers.customs,
                carrier,
                self.may_leave,
                budget=self.budget,
            )
            for name, carrier in self.carriers.items()
        }

    @cached_property
    def decide_joining(self) -> DecideJoining:
        """What an officer does with a request to join."""
        return DecideJoining(self.store, self.clock, self.papers, self.bell)

    @cached_property
    def tell_holders(self) -> TellHolders:
        """Tells who reads a plot of another that does so from now on."""
        return TellHolders(self.papers, self._first_carrier)

    @cached_property
    def lapse_joinings(self) -> LapseJoinings:
        """Lets dialogues of joining rest that nobody answers."""
        return LapseJoinings(self.store, self.clock, self.papers)

    @cached_property
    def pause_advice(self) -> PauseAdvice:
        """Lets advice rest."""
        return PauseAdvice(self.store, self.clock, self.papers, self._first_carrier)

    @cached_property
    def tell_block(self) -> TellBlock:
        """Takes facts that hold for whole blocks."""
        bounds = load_sheet_bounds(self.settings.flows)
        return TellBlock(self.store, self.clock, self.papers, bounds)

    @cached_property
    def recall(self) -> Recall:
        """Calls texts back."""
        return Recall(self.store, self.clock, self.papers, self._first_carrier, self.bell)

    def _first_carrier(self, _scheme: Scheme) -> str:
        """What the office starts leaves by the first carrier of the settings."""
        return self.profiles[0].name

    @cached_property
    def explain(self) -> Explain:
        """Gives any advice again."""
        today = self.papers.rules.files
        return Explain(self.store, partial(rules_of_then, today=today))

    # -- the server -------------------------------------------------------------------------------

    @cached_property
    def ticker(self) -> Ticker:
        """Owes, sends and pumps, for as long as the server runs."""
        pumps = {name: self._pump_of(simulator) for name, simulator in self.simulators.items()}
        ticker = Ticker(
            self.owe.step,
            dict(self.dispatchers),
            pumps,
            self.settings.tick_seconds,
            self.lapse_joinings,
            many=self.put_broadcasts.step,
        )
        self.bell.listeners.append(ticker.wake)
        return ticker

    def _pump_of(self, simulator: Simulator) -> Callable[[], object]:
        return lambda: simulator.pump(self.clock.now())

    @cached_property
    def app(self) -> Flask:
        """The console and the callback routes."""
        secret = self.settings.web_secret.get_secret_value()
        if len(secret) < 16:
            raise SettingsError(
                "GATEWAY_WEB_SECRET: need a secret of 16 characters or more to sign sessions with"
            )
        phones = next(iter(self.simulators.values()), None) if self.settings.phones_page else None
        return create_app(
            Desk(
                store=self.store,
                views=self.store.views,
                scheme=lambda: self.scheme,
                listeners=self.listeners,
                receive=self.receive,
                settle=self.settle,
                dial=self.dial,
                plot_page=ReportPlot(self.store, self.store.views, self.clock, self.papers),
                blocks=self.store.block_views,
                readers=self.store.reader_views,
                cards=MakeCards(self.store, self.store.block_views, self.clock, self.papers),
                calendar=self.store.calendar_views,
                ahead=Ahead(self.store, self.store.calendar_views, self.clock, self.papers),
                people=self.store.people_views,
                pauses=self.pause_advice,
                block_facts=self.tell_block,
                recall=self.recall,
                decide=self.decide_joining,
                attend=Attend(self.store.attention_views, self.clock, self.papers),
                languages=lambda: languages_of(self.papers),
                silence=Silence(self.store.calendar_views, self.clock, self.papers),
                duties=self.papers.duties.duties,
                clock=self.clock,
                secret_key=secret,
                health=self.health,
                many=Many(
                    self.broadcasting,
                    self.store.broadcast_views,
                    self.store.broadcast_views,
                    self.budget,
                    self.profiles,
                    sorted(self.papers.rules.practice.soils),
                ),
                phones=phones,
            )
        )

    def health(self) -> dict[str, Any]:
        """Whether the store answers, and what stands in it. No personal data."""
        with self.store.begin(write=False):
            store = "ok"
        return {"store": store, "version": __version__, "carriers": [p.name for p in self.profiles]}


def open_house(settings: Settings, clock: Clock | None = None) -> House:
    """The parts for these settings; secrets of carriers come from the environment."""
    open_log(settings.log_level)
    return House(settings, clock or SystemClock(), os.environ)
