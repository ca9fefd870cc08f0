"""The judgement: case and rule book in, advice out."""

from dataclasses import dataclass
from datetime import date, timedelta

from gateway.agronomy.advice import Advice, DateBand, Detail
from gateway.agronomy.case import Case
from gateway.agronomy.facts import Facts, facts_of
from gateway.agronomy.habit import Posterior
from gateway.agronomy.irrigation import Fill, depth_mm, fill
from gateway.agronomy.nextlook import next_look
from gateway.agronomy.nitrogen import dose_doubts, product_kg
from gateway.agronomy.reasons import left_out, reasons_of
from gateway.agronomy.rules import WORD_FACTS, Row, RuleBook
from gateway.agronomy.supply import next_hours, next_water, running_until

WATERING = frozenset({"reflood", "top-up", "reflood-after-nitrogen"})
KEEPING = frozenset({"keep-flooded", "keep-moist"})
AIMING = WATERING | KEEPING | {"let-out"}
UNDATED = frozenset({"none", "keep-moist", "no-more-water", "drain", "let-out"})
FERTILISING = frozenset({"reflood-after-nitrogen", "dry-to-fertilise", "fertilise-shallow"})


@dataclass(frozen=True, slots=True)
class Judged:
    """Advice, and what the plot's finished dry-downs taught, to be kept for the next time."""

    advice: Advice
    posterior: Posterior | None = None


def judge(case: Case, book: RuleBook) -> Advice:
    """What to do on the plot as of the case's day; a pure function of case and book."""
    return judge_and_learn(case, book).advice


def judge_and_learn(case: Case, book: RuleBook) -> Judged:
    """The advice of ``judge``, with the posterior that it stands on."""
    practice = book.practice_of(case.plot.profile)
    if case.season is None:
        return Judged(_without_season(case, book))
    facts = facts_of(case, case.season, practice)
    row = book.table.first(facts.known, facts.marks)
    footing = facts.estimate.footing
    return Judged(_advice(facts, row, book), None if footing is None else footing.posterior)


def _without_season(case: Case, book: RuleBook) -> Advice:
    known: dict[str, str | float | None] = dict.fromkeys(WORD_FACTS, "no")
    known |= {"stage": "unknown", "season": "missing", "evidence": "never", "bar": "none"}
    known |= {"fertilise_in_holds": book.practice.nitrogen.in_holds}
    known |= {"nitrogen": "none", "supply": "unknown", "next_turn": "unknown"}
    known |= {"level_cm": None, "lowest_cm": None}
    row = book.table.first(known, {})
    reasons = (row.name, *left_out(case))
    return Advice(case.plot.code, case.as_of, "unknown", row.action, reasons)


def _advice(facts: Facts, row: Row, book: RuleBook) -> Advice:
    watered = _fill(facts, row)
    over = facts.stage in ("before-planting", "harvested")
    mm, m3, hours = (watered.mm, watered.m3, watered.hours) if watered else (None, None, None)
    return Advice(
        plot=facts.case.plot.code,
        as_of=facts.case.as_of,
        stage=facts.stage,
        action=row.action,
        reasons=reasons_of(facts, row, watered, book),
        level_cm=None if over else facts.estimate.level_cm,
        threshold_on=DateBand() if row.action in UNDATED else facts.estimate.threshold_on,
        next_reading_on=next_look(facts, row, watered is not None),
        flood_to_cm=facts.flood_to_cm if row.action in AIMING else None,
        water_mm=mm,
        water_m3=m3,
        hours=hours,
        detail=_detail(facts, row, watered is not None),
    )


def _fill(facts: Facts, row: Row) -> Fill | None:
    """The water that the advice calls for: None where it calls for none, or none can be said."""
    level, guess, plot = facts.level_cm, facts.estimate, facts.case.plot
    if level is None or guess.level_cm is None or not _calls_for_water(facts, row, level):
        return None
    net = depth_mm(guess.level_cm.p50, facts.flood_to_cm, guess.storage_mm_cm.p50)
    hours = facts.practice.water.fill_hours
    return fill(net, guess.loss_mm_d.p50, plot.area_ha, plot.outlet_lps, hours)


def _calls_for_water(facts: Facts, row: Row, level: float) -> bool:
    if row.action == "keep-moist":
        return level < facts.flood_to_cm
    return row.action in WATERING or (
        row.action == "keep-flooded" and level <= facts.standing.low_cm
    )


def _detail(facts: Facts, row: Row, watered: bool) -> Detail:
    sight, holds, calendar = facts.sight, facts.holds, facts.calendar
    told = sight.reading if not sight.flooded else None
    split = facts.nitrogen.split if row.action in FERTILISING else None
    told_kg = None if dose_doubts(facts.case, split, facts.practice.nitrogen) else split
    supply, level = facts.known["supply"], facts.level_cm
    runs = next_hours(facts.case, facts.practice.supply) if watered else None
    return Detail(
        seen_cm=told.level_cm if told else None,
        seen_dry=told.dry if told else False,
        act_by=_act_by(facts, row) if watered or row.action in AIMING else None,
        keep_until=_keep_until(facts),
        not_before=holds.free_on,
        sprayed_on=holds.sprayed_on,
        product=split.product if split else None,
        product_kg=product_kg(
            told_kg, facts.case.plot.area_ha, facts.practice.nitrogen.dose_step_kg
        ),
        water_sure=None if supply == "unknown" else supply == "sure",
        too_dry=level is not None and level <= facts.marks["too-dry"],
        harvest_on=calendar.harvest_on,
        flowering_from=calendar.flowering_from,
        threshold_cm=facts.mark_cm,
        next_water_on=next_water(facts.case, facts.practice.supply),
        rose=facts.rose,
        water_source=facts.case.plot.water_source,
        runs_from=runs.starts if runs else None,
    )


def _act_by(facts: Facts, row: Row) -> date:
    """The last good day, or the last day of the water that runs where that is sooner."""
    usual = facts.practice.water.act_within_days
    within = usual if row.act_within_days is None else row.act_within_days
    day = facts.case.as_of + timedelta(days=within)
    ends = running_until(facts.case, facts.practice.supply)
    ends = day if ends is None else min(day, ends)
    last = facts.calendar.flowering_to if facts.stage == "flowering" else None
    return ends if last is None else min(ends, last)


def _keep_until(facts: Facts) -> date | None:
    """The last day on which the plot must stay wet, where that day is known."""
    if facts.stage == "flowering":
        return facts.calendar.flowering_to
    if facts.stage == "establishment":
        opens = facts.calendar.awd_opens_on - timedelta(days=1)
        return max(opens, facts.holds.weeds_until or opens)
    return facts.holds.weeds_until
