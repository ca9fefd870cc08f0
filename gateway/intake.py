"""Takes the sheets of an office in: each is read against what is known, then its use case runs."""

from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from gateway.advisory.approve import add_plan
from gateway.advisory.changes import Changes
from gateway.advisory.enrolsheet import enrol_sheet
from gateway.advisory.errors import NoWeatherLink
from gateway.advisory.loadkeepers import load_keepers
from gateway.advisory.loadwater import load_water
from gateway.advisory.loadweather import load_weather
from gateway.advisory.records import NitrogenPlan
from gateway.advisory.sheets import Known, SheetBounds, ThresholdRules
from gateway.compose import House
from gateway.flowfiles.plans import load_plan
from gateway.flowfiles.practice import USUAL
from gateway.flowfiles.sheets import load_sheet_bounds
from gateway.flowfiles.weatherlink import load_weather_link
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.vocabulary import Vocabulary
from gateway.sources.fetch import fetch
from gateway.sources.keepers import read_keepers
from gateway.sources.plots import read_plots
from gateway.sources.water import read_water
from gateway.sources.weather import COLUMNS, read_fetched, read_weather


def enrol_plots(house: House, path: Path, check: bool) -> Changes:
    """Enrol a sheet of plots. Raises SheetRefused."""
    sheet = read_plots(path, known_to(house))
    return enrol_sheet(house.store, house.clock, house.scheme, sheet, house.tell_holders, check)


def approve_plan(house: House, path: Path) -> NitrogenPlan:
    """Put the nitrogen plan of a file on record. Raises FlowError, AlreadyOnRecord."""
    plan = load_plan(path, bounds_of(house).plans, today_of(house))
    add_plan(house.store, house.clock, house.scheme, plan)
    return plan


def take_weather(house: House, path: Path, check: bool) -> Changes:
    """Take a sheet of daily weather in. Raises SheetRefused."""
    sheet = read_weather(path, bounds_of(house), today_of(house))
    return load_weather(house.store, house.clock, house.scheme, sheet, check)


def fetch_weather(house: House, check: bool) -> Changes:
    """Fetch the weather from the address that stands in flows/, and take it in.

    Raises NoWeatherLink, WeatherNotFetched, SheetRefused, FlowError.
    """
    link = load_weather_link(house.settings.flows, COLUMNS, house.environment)
    if link is None:
        raise NoWeatherLink
    sheet = read_fetched(fetch(link), link, bounds_of(house), today_of(house))
    return load_weather(house.store, house.clock, house.scheme, sheet, check)


def take_water(house: House, path: Path, check: bool) -> Changes:
    """Take a sheet of water to come in. Raises SheetRefused."""
    with house.store.begin(write=False) as unit:
        blocks = unit.register.of(house.scheme.id).blocks
    outlets = {name: block.outlet for name, block in blocks.items()}
    sheet = read_water(path, bounds_of(house), today_of(house), outlets)
    return load_water(house.store, house.clock, house.scheme, sheet, check)


def take_keepers(house: House, path: Path, check: bool) -> Changes:
    """Take a sheet of keepers of outlets in. Raises SheetRefused."""
    with house.store.begin(write=False) as unit:
        blocks = unit.register.of(house.scheme.id).blocks
    outlets = {name: block.outlet for name, block in blocks.items()}
    languages = house.papers.catalogues.keys()
    sheet = read_keepers(path, house.scheme.region, languages, outlets)
    return load_keepers(house.store, house.clock, house.scheme, sheet, check)


# -- what a sheet is read against -----------------------------------------------------------------


def bounds_of(house: House) -> SheetBounds:
    """The bounds of a sane cell. Raises FlowError."""
    return load_sheet_bounds(house.settings.flows)


def today_of(house: House) -> date:
    """The day in the scheme's zone."""
    return house.clock.now().astimezone(ZoneInfo(house.scheme.zone)).date()


def known_to(house: House) -> Known:
    """What a sheet is read against: the scheme's papers, and what is on record."""
    practice, practices = house.papers.rules.practice, house.papers.rules.practices
    with house.store.begin(write=False) as unit:
        on_record = unit.register.of(house.scheme.id)
    vocabulary = house.papers.vocabulary(house.scheme.language)
    varieties = practice.varieties.values()
    return Known(
        today=today_of(house),
        bounds=bounds_of(house),
        region=house.scheme.region,
        languages=house.papers.catalogues.keys(),
        soils=practice.soils.keys(),
        bars=practice.bars.keys(),
        profiles=[name for name in practices if name != USUAL],
        plans=on_record.plans.keys(),
        plots=on_record.plots,
        blocks={name: block.outlet for name, block in on_record.blocks.items()},
        sayable=lambda code: sayable(code, practice.water.threshold_cm, vocabulary),
        thresholds=thresholds_of(house),
        crop_seasons=sorted({name for each in varieties for name in each.by_season}),
    )


def thresholds_of(house: House) -> ThresholdRules:
    """How deep a plot may dry by the scheme's practice, and what forbids more."""
    practice, practices = house.papers.rules.practice, house.papers.rules.practices
    forbidding = ("keep-flooded", "ask")
    return ThresholdRules(
        usual_cm=practice.water.threshold_cm,
        step_cm=practice.water.raise_step_cm,
        bottom_cm=practice.forecast.tube_bottom_cm,
        barring=frozenset(bar for bar, effect in practice.bars.items() if effect in forbidding),
        closed=frozenset(n for n, each in practices.items() if not each.water.raised_allowed),
    )


def sayable(code: str, level_cm: float, vocabulary: Vocabulary) -> bool:
    """Whether a grower who reads several plots is understood by this code and a level."""
    other = f"{code}{code}"
    heard = interpret(f"{code} {level_cm:g}", Sender((code, other)), vocabulary)
    read = [(reading.plot, reading.level_cm) for reading in heard.readings]
    return heard.outcome == "accept" and read == [(code, level_cm)]
