"""The paper of a trial: the invented scheme as flows/trial.yaml writes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from gateway.advisory.records import ReaderRole
from gateway.agronomy.advice import Action, Stage
from gateway.agronomy.season import Method
from gateway.flowfiles.reader import Entry, read_file
from gateway.flowfiles.typed import build

FILE = "trial.yaml"
Supply = Literal["unknown", "always", "turns"]
Language = Literal["en", "id"]


@dataclass(frozen=True, slots=True)
class SchemePaper:
    """The scheme and where it would lie (degrees, m above the sea)."""

    code: str
    name: str
    short_name: str
    zone: str
    language: Language
    latitude: float
    elevation_m: float


@dataclass(frozen=True, slots=True)
class HistoryPaper:
    """How far back the history goes, and within how many days of planting a grower first looks.

    The planting days that are tried lie so many days before and after the day of the trial.
    """

    days: int
    first_look_days: int
    looks_again_days: int
    planted_before_days: int
    planted_after_days: int


@dataclass(frozen=True, slots=True)
class WeatherPaper:
    """The mean ET0 (mm/d), the chance of a wet day after a dry one, and its mean rain (mm).

    The last ``dry_days`` before the day of the trial bring no rain.
    """

    et0_mm: float
    rainy: float
    wet_mm: float
    forecast_days: int
    dry_days: int


@dataclass(frozen=True, slots=True)
class SplitPaper:
    """One split: days after establishment, kg of nitrogen per hectare."""

    from_day: int
    to_day: int
    kg_n_ha: float


@dataclass(frozen=True, slots=True)
class PlanPaper:
    """The nitrogen plan, with who is said to have approved it."""

    name: str
    product: str
    n_percent: float
    approved_by: str
    approved_days_before: int
    source: str
    splits: tuple[SplitPaper, ...]


@dataclass(frozen=True, slots=True)
class BlockPaper:
    """A block behind an outlet; ``phone`` opens the numbers of its growers."""

    name: str
    outlet: str
    outlet_lps: float
    water: Supply
    soil: str
    village: str
    phone: str
    every_days: int = 0
    turn_days: int = 0


@dataclass(frozen=True, slots=True)
class PlotPaper:
    """A plot by the stage that it must have on the day of the trial.

    ``along`` is how far into the stage, or into the window of ``split``, it stands then;
    ``stands_cm`` where its water stands then, whatever the weather was.
    """

    stage: Stage
    along: float = 0.5
    method: Method = "transplanted"
    variety: str | None = "Middle Trial"
    soil: str | None = None
    bars: tuple[str, ...] | None = ()
    profile: str | None = None
    language: Language = "en"
    manner: str | None = None
    split: int | None = None
    stands_cm: float | None = None
    seepage_mm_d: float | None = None
    storage_mm_cm: float | None = None


@dataclass(frozen=True, slots=True)
class GroundPaper:
    """A soil's truth: seepage with percolation (mm/d at 5 cm), mm of water per cm below."""

    seepage_mm_d: float
    storage_mm_cm: float


@dataclass(frozen=True, slots=True)
class Areas:
    """Between which areas the plots lie, in hectares."""

    smallest_ha: float
    largest_ha: float


@dataclass(frozen=True, slots=True)
class Tube:
    """The field tube of every plot: its rim above the soil and its bottom, signed, in cm."""

    rim_cm: float
    bottom_cm: float


@dataclass(frozen=True, slots=True)
class SharedPhone:
    """One phone that reads several plots; a lead reader also leads their block."""

    number: str
    reader: str
    plots: tuple[str, ...]
    role: ReaderRole = "reader"


@dataclass(frozen=True, slots=True)
class Manner:
    """How a grower behaves, as chances from 0 to 1; ``weight`` is how common that is."""

    weight: float
    looks: float
    tells: float
    unclear: float


@dataclass(frozen=True, slots=True)
class Habit:
    """How a grower of a rehearsal behaves, as chances from 0 to 1; ``weight``: how common that is.

    ``leaves``: they text that they want no more texts, on a day of their own.
    """

    weight: float
    looks: float
    tells: float
    leaves: bool = False


@dataclass(frozen=True, slots=True)
class RehearsalPaper:
    """The growers of a rehearsal: their habits, and the word by which some leave, and by when."""

    leave: str
    leaves_within_days: int
    habits: Mapping[str, Habit]


@dataclass(frozen=True, slots=True)
class Hand:
    """What growers of one language write; {plot} and {n} are filled in."""

    below: tuple[str, ...]
    above: tuple[str, ...]
    surface: tuple[str, ...]
    dry: tuple[str, ...]
    unclear: tuple[str, ...]
    below_word: tuple[str, ...]
    above_word: tuple[str, ...]
    flooded: tuple[str, ...]
    nitrogen: tuple[str, ...]
    heads: tuple[str, ...]
    few_weeds: tuple[str, ...]
    no_water: tuple[str, ...]
    harvest: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Names:
    """First and last names that are put together."""

    first: tuple[str, ...]
    last: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LinkPaper:
    """How the simulated operator behaves during the history."""

    slowest_s: float
    slowest_receipt_s: float
    delivered: float
    undeliverable: float


@dataclass(frozen=True, slots=True)
class Incident:
    """A text that no routine brings, from the phone of a plot or from a number."""

    days_ago: int
    text: str
    phone_of: str | None = None
    number: str | None = None


@dataclass(frozen=True, slots=True)
class Try:
    """A text to try on the day of the trial, and what must come of it."""

    plot: str
    text: str
    comes: str
    action: Action | None = None
    asks: bool = False


@dataclass(frozen=True, slots=True)
class TrialPaper:
    """All of it."""

    scheme: SchemePaper
    history: HistoryPaper
    weather: WeatherPaper
    plan: PlanPaper
    varieties: Mapping[str, int]
    seedling_days: int
    grounds: Mapping[str, GroundPaper]
    grounds_spread: float
    areas: Areas
    tube: Tube
    names: Names
    blocks: Mapping[str, BlockPaper]
    plots: Mapping[str, PlotPaper]
    shared: tuple[SharedPhone, ...]
    manners: Mapping[str, Manner]
    rehearsal: RehearsalPaper
    hands: Mapping[str, Hand]
    link: LinkPaper
    incidents: tuple[Incident, ...]
    tries: tuple[Try, ...]

    def block_of(self, code: str) -> BlockPaper:
        """The block of a plot: its code's first letter."""
        return self.blocks[code[0]]


def load_trial(flows: Path) -> TrialPaper:
    """The trial in ``flows/trial.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / FILE)
    paper = build(TrialPaper, top)
    for code, entry in top.need("plots").items():
        _check_plot(code, paper, entry)
    for key, codes in _codes_named(paper).items():
        for code in codes:
            if code not in paper.plots:
                top.need(key).fail(f"no plot {code!r} stands under plots")
    return paper


def _check_plot(code: str, paper: TrialPaper, entry: Entry) -> None:
    plot = paper.plots[code]
    if code[0] not in paper.blocks:
        entry.fail(f"no block {code[0]!r} stands under blocks")
    soil = plot.soil or paper.block_of(code).soil
    if soil not in paper.grounds:
        entry.fail(f"need one of {', '.join(paper.grounds)} as soil, got {soil!r}")
    if plot.variety is not None and plot.variety not in paper.varieties:
        entry.fail(f"need one of {', '.join(paper.varieties)} as variety, got {plot.variety!r}")
    if plot.manner is not None and plot.manner not in paper.manners:
        entry.fail(f"need one of {', '.join(paper.manners)} as manner, got {plot.manner!r}")
    if plot.split is not None and not 1 <= plot.split <= len(paper.plan.splits):
        entry.fail(f"need a split from 1 to {len(paper.plan.splits)}, got {plot.split}")


def _codes_named(paper: TrialPaper) -> dict[str, list[str]]:
    return {
        "shared": [code for phone in paper.shared for code in phone.plots],
        "incidents": [i.phone_of for i in paper.incidents if i.phone_of],
        "tries": [t.plot for t in paper.tries],
    }
