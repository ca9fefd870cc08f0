"""Lays the invented scheme out in an empty store: blocks, plots, growers, phones, seasons."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from random import Random

from gateway.advisory.errors import AlreadyOnRecord
from gateway.advisory.number import Number, read_number
from gateway.advisory.ports import Unit
from gateway.advisory.records import NitrogenPlan, NitrogenSplit, Scheme
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import Plot
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.trial.paper import BlockPaper, PlotPaper, TrialPaper
from gateway.trial.seasons import season_for


@dataclass(frozen=True, slots=True)
class LaidPlot:
    """A plot as it was laid out, with the phone that reads it."""

    code: str
    plot_id: int
    paper: PlotPaper
    block: BlockPaper
    season: Season
    number: Number


@dataclass(frozen=True, slots=True)
class LaidScheme:
    """The scheme as it was laid out."""

    scheme: Scheme
    plots: tuple[LaidPlot, ...]


def lay_out_scheme(
    unit: Unit, paper: TrialPaper, practice: Practice, today: date, now: datetime, rng: Random
) -> LaidScheme:
    """Enrol everything of ``paper`` for a trial on ``today``.

    Raises AlreadyOnRecord where any scheme is on record: invented growers never stand beside real
    ones. The caller commits.
    """
    for there in unit.schemes.all():
        raise AlreadyOnRecord("scheme", there.code)
    written = paper.scheme
    scheme = unit.schemes.add(
        written.code, written.name, written.short_name, written.zone, written.language
    )
    plan_id = unit.schemes.add_plan(scheme.id, plan_of(paper, today))
    blocks = {
        letter: unit.schemes.add_block(scheme.id, block.name, block.outlet, block.outlet_lps)
        for letter, block in paper.blocks.items()
    }
    for letter, block in paper.blocks.items():
        if (windows := water_of(block, paper, today)) is not None:
            unit.schemes.add_water(blocks[letter], windows)
    names = iter(growers_names(paper, len(paper.plots)))
    plots = []
    for code in paper.plots:
        laid = _lay_plot(unit, scheme, blocks[code[0]], code, paper, practice, today, plan_id, rng)
        _enrol(unit, scheme, laid, paper, next(names), now)
        plots.append(laid)
    return LaidScheme(scheme, tuple(plots))


def _lay_plot(
    unit: Unit,
    scheme: Scheme,
    block_id: int,
    code: str,
    paper: TrialPaper,
    practice: Practice,
    today: date,
    plan_id: int,
    rng: Random,
) -> LaidPlot:
    block = paper.block_of(code)
    written = replace(paper.plots[code], soil=paper.plots[code].soil or block.soil)
    season = season_for(code, written, paper, practice, today)
    plot_id = unit.schemes.add_plot(
        scheme.id, block_id, _plot(code, written, block, paper, rng), block.village
    )
    unit.schemes.add_season(plot_id, season, written.variety or "", plan_id)
    return LaidPlot(code, plot_id, written, block, season, number_for(code, paper))


def _plot(code: str, written: PlotPaper, block: BlockPaper, paper: TrialPaper, rng: Random) -> Plot:
    return Plot(
        code=code,
        area_ha=round(rng.uniform(paper.areas.smallest_ha, paper.areas.largest_ha), 2),
        soil=written.soil,
        latitude=paper.scheme.latitude,
        elevation_m=paper.scheme.elevation_m,
        rim_cm=paper.tube.rim_cm,
        tube_bottom_cm=paper.tube.bottom_cm,
        bars=None if written.bars is None else frozenset(written.bars),
        outlet_lps=block.outlet_lps,
        profile=written.profile,
    )


def _enrol(
    unit: Unit, scheme: Scheme, laid: LaidPlot, paper: TrialPaper, name: str, now: datetime
) -> None:
    grower = unit.schemes.add_grower(scheme.id, name)
    unit.schemes.assign_grower(laid.plot_id, grower)
    shared = next((phone for phone in paper.shared if laid.code in phone.plots), None)
    reader = unit.schemes.add_grower(scheme.id, shared.reader) if shared else grower
    phone = unit.people.phone_of(scheme.id, laid.number, now)
    role = shared.role if shared else None
    unit.people.enrol_reader(phone.id, laid.plot_id, reader, laid.paper.language, None, now, role)


# -- what follows from the paper ------------------------------------------------------------------


def number_for(code: str, paper: TrialPaper) -> Number:
    """The phone of a plot: the shared one that reads it, else one ending in the plot's number."""
    for phone in paper.shared:
        if code in phone.plots:
            return read_number(phone.number)
    return read_number(f"{paper.block_of(code).phone}01{int(code[1:]):02d}")


def growers_names(paper: TrialPaper, wanted: int) -> list[str]:
    """So many invented names, each different, in a fixed order."""
    first, last = paper.names.first, paper.names.last
    return [
        f"{first[i % len(first)]} {last[(i // len(first) + i) % len(last)]}" for i in range(wanted)
    ]


def plan_of(paper: TrialPaper, today: date) -> NitrogenPlan:
    """The nitrogen plan, approved before any of it was spread."""
    plan = paper.plan
    return NitrogenPlan(
        name=plan.name,
        product=plan.product,
        n_percent=plan.n_percent,
        approved_by=plan.approved_by,
        approved_on=today - timedelta(days=plan.approved_days_before),
        source=plan.source,
        splits=tuple(NitrogenSplit(s.from_day, s.to_day, s.kg_n_ha) for s in plan.splits),
    )


def water_of(block: BlockPaper, paper: TrialPaper, today: date) -> list[WaterWindow] | None:
    """The turns told to a block, from the start of the history to as long after the trial."""
    reach = timedelta(days=paper.history.days)
    first, last = today - reach, today + reach
    if block.water == "unknown":
        return None
    if block.water == "always":
        return [WaterWindow(first, last, sure=True)]
    starts = range(0, (last - first).days, block.every_days)
    length = timedelta(days=block.turn_days - 1)
    days = [first + timedelta(days=start) for start in starts]
    return [WaterWindow(day, day + length, sure=True) for day in days]
