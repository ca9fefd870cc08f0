"""What commands ask for beyond one use case: checks of files, a text, a trial."""

import os
import time
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from gateway.advisory.compare import Compare, Comparison
from gateway.advisory.errors import NotSimulated
from gateway.advisory.number import read_number
from gateway.advisory.papers import FALLBACK
from gateway.advisory.parcels import State
from gateway.advisory.receive import Received
from gateway.compose import House
from gateway.flowfiles.broadcasts import check_broadcasts, load_broadcasts, load_budget
from gateway.flowfiles.calendar import check_duties, load_duties
from gateway.flowfiles.carriers import load_carriers
from gateway.flowfiles.catalogue_checks import check_catalogues
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.customs import load_customs
from gateway.flowfiles.joining import check_joining, load_joining
from gateway.flowfiles.letters import check_letters, check_names, check_pairs, load_letters
from gateway.flowfiles.menu import load_menu
from gateway.flowfiles.menu_checks import check_menu
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.rules import load_rulebook
from gateway.flowfiles.sheets import load_sheet_bounds
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.flowfiles.vocabulary_checks import missing_words
from gateway.flowfiles.weatherlink import load_weather_link
from gateway.messages.letters import languages_among
from gateway.settings import Settings
from gateway.sources.weather import COLUMNS as WEATHER_COLUMNS
from gateway.trial.clock import MovedClock
from gateway.trial.make import make_trial, start_of
from gateway.trial.paper import load_trial
from gateway.trial.parts import Parts, TrialHints


def mistakes_in(flows: Path, locales: Path) -> list[str]:
    """Every mistake in the files of both folders, each with file, line and cure."""
    loaders: list[Callable[[], object]] = [
        lambda: load_rulebook(flows),
        lambda: load_vocabularies(flows),
        lambda: load_customs(flows),
        lambda: load_duties(flows),
        lambda: load_menu(flows),
        lambda: load_joining(flows),
        lambda: load_letters(flows),
        lambda: load_carriers(flows),
        lambda: load_broadcasts(flows),
        lambda: load_budget(flows, {}),
        lambda: load_sheet_bounds(flows),
        lambda: load_weather_link(flows, WEATHER_COLUMNS),
        lambda: load_trial(flows),
    ]
    found = []
    for load in loaders:
        try:
            load()
        except FlowError as error:
            found.append(str(error))
    found += check_pairs(flows, locales) + check_catalogues(locales)
    if found:
        return found
    found += missing_words(flows)
    vocabularies = load_vocabularies(flows)
    catalogues = load_catalogues(locales)
    found += check_joining(flows, vocabularies, catalogues)
    found += check_menu(flows, catalogues) + check_duties(flows, catalogues)
    found += check_broadcasts(flows, frozenset(catalogues[FALLBACK].words))
    found += check_names(flows, vocabularies, catalogues)
    return found + check_letters(flows, languages_among(catalogues))


def other_advice(house: House, live: Path, changed: Path) -> Comparison:
    """Which plots of the store would get other advice by the rules of ``changed`` than of ``live``.

    Raises FlowError.
    """
    compare = Compare(house.store, house.clock)
    return compare(house.scheme.id, load_rulebook(live), load_rulebook(changed))


def text_through_simulator(house: House, sender: str, body: str, wait_s: float) -> list[str]:
    """Let a phone text through the simulator, and wait for what it gets. Raises NotSimulated.

    A server may run beside this and be faster at sending: the outbox says when a reply has left.
    """
    first = house.profiles[0].name
    simulator = house.simulators.get(first)
    if simulator is None:
        raise NotSimulated(first)
    number = read_number(sender, house.scheme.region)
    came: list[Received] = []
    simulator.on_text = lambda inbound: came.append(house.receive(inbound))
    simulator.text(number, body)
    ends = time.monotonic() + wait_s
    while time.monotonic() < ends:
        simulator.pump(house.clock.now())
        house.dispatchers[first]()
        if came and (replies := _settled_replies(house, came[0].text_id)) is not None:
            simulator.pump(house.clock.now())  # the receipts, while this process is there to hear
            return replies
        time.sleep(0.05)
    return []


def _settled_replies(house: House, text_id: int) -> list[str] | None:
    """The replies to a text once all have left; None while one is on its way."""
    with house.store.begin(write=False) as unit:
        replies = unit.outbox.replies(text_id)
    under_way = {State.WAITING, State.CLAIMED, State.HELD}
    return None if any(r.state in under_way for r in replies) else [r.text for r in replies]


def make_the_trial(settings: Settings, today: date | None, seed: int) -> TrialHints:
    """The invented scheme with its history, lived through on a moved clock in an empty store.

    ``today`` is the day in the scheme's zone up to which it has lived; the real one where it is
    None. Raises AlreadyOnRecord where a scheme is on record.
    """
    paper = load_trial(settings.flows)
    day = today or datetime.now(ZoneInfo(paper.scheme.zone)).date()
    clock = MovedClock(start_of(paper, day))
    house = House(settings, clock, os.environ)
    first = house.profiles[0].name
    if first not in house.simulators:
        raise NotSimulated(first)
    parts = Parts(
        store=house.store,
        clock=clock,
        papers=house.papers,
        simulator=house.simulators[first],
        dispatch=house.dispatchers[first],
        owe=house.owe,
        listen=house.bell.listeners.append,
        paper=paper,
    )
    return make_trial(parts, day, seed)
