"""Makes a trial: the invented scheme with half a season of true history, up to a day."""

from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from gateway.advisory.carrier_profile import Simulated
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Split
from gateway.trial.field import Eye, Field, Ground, ground_of
from gateway.trial.grower import Grower, calendar_for
from gateway.trial.history import History
from gateway.trial.paper import Manner, TrialPaper
from gateway.trial.parts import Hint, Parts, TrialHints
from gateway.trial.scheme import LaidPlot, LaidScheme, lay_out_scheme, number_for
from gateway.trial.sky import draw_sky

SHOWN_NOISE_CM = 0.4


def start_of(paper: TrialPaper, today: date) -> datetime:
    """The moment at which a trial for ``today`` begins, in UTC."""
    first = today - timedelta(days=paper.history.days)
    return datetime.combine(first, time(4), ZoneInfo(paper.scheme.zone)).astimezone(UTC)


def make_trial(parts: Parts, today: date, seed: int) -> TrialHints:
    """Fill the empty store of ``parts``; the same for a seed and a day.

    The clock must stand at ``start_of``. Raises AlreadyOnRecord where a scheme is on
    record.
    """
    paper, rng = parts.paper, Random(seed)
    practice = parts.papers.rules.practice
    with parts.store.begin() as unit:
        laid = lay_out_scheme(unit, paper, practice, today, parts.clock.now(), rng)
        unit.commit()
    history = _history(parts, paper, laid, practice, today, rng)
    usual = _slow_down(parts, paper)
    first = today - timedelta(days=paper.history.days)
    history.live(first + timedelta(days=n) for n in range(paper.history.days))
    _restore(parts, usual)
    hints = tuple(Hint(number_for(tried.plot, paper), tried) for tried in paper.tries)
    return TrialHints(laid.scheme.name, today, len(laid.plots), history.texts, hints)


def _history(
    parts: Parts, paper: TrialPaper, laid: LaidScheme, practice: Practice, today: date, rng: Random
) -> History:
    first = today - timedelta(days=paper.history.days)
    sky = draw_sky(paper.weather, first, today, rng)
    growers = [_grower(plot, paper, practice, first, Random(rng.random())) for plot in laid.plots]
    growers.sort(key=lambda grower: grower.laid.number.reveal())
    return History(parts, paper, laid, growers, sky, today, rng)


# -- growers and their fields ---------------------------------------------------------------------


def _grower(
    laid: LaidPlot, paper: TrialPaper, practice: Practice, first: date, rng: Random
) -> Grower:
    starts = max(first, laid.season.established_on)
    gross, noise = (0.0, SHOWN_NOISE_CM) if laid.paper.stands_cm is not None else (0.01, 1.0)
    return Grower(
        laid=laid,
        manner=_manner(laid, paper, rng),
        hand=paper.hands[laid.paper.language],
        water=_field(laid, paper, practice, Random(rng.random())),
        eye=Eye(rng, noise, gross),
        practice=practice,
        rng=rng,
        look_on=starts + timedelta(days=rng.randint(1, paper.history.first_look_days)),
        calendar=calendar_for(laid, practice),
        splits=_splits(laid, paper),
        tube_bottom_cm=paper.tube.bottom_cm,
        looks_again=timedelta(days=paper.history.looks_again_days),
    )


def _splits(laid: LaidPlot, paper: TrialPaper) -> tuple[Split, ...]:
    planted = laid.season.established_on
    return tuple(
        Split(planted + timedelta(days=s.from_day), planted + timedelta(days=s.to_day))
        for s in paper.plan.splits
    )


def _manner(laid: LaidPlot, paper: TrialPaper, rng: Random) -> Manner:
    if laid.paper.manner is not None:
        return paper.manners[laid.paper.manner]
    manners = list(paper.manners.values())
    return rng.choices(manners, [manner.weight for manner in manners])[0]


def _field(laid: LaidPlot, paper: TrialPaper, practice: Practice, rng: Random) -> Field:
    """A field with chances of its own, so that its days can be tried before they are lived."""
    return Field(_ground(laid, paper, rng), rng, level_cm=practice.water.flood_to_cm)


def _ground(laid: LaidPlot, paper: TrialPaper, rng: Random) -> Ground:
    """Around the usual figures of its soil; a plot to be shown has just the figures it names."""
    own = laid.paper
    if own.seepage_mm_d is not None and own.storage_mm_cm is not None:
        return Ground(own.seepage_mm_d, own.storage_mm_cm)
    usual = paper.grounds[own.soil or laid.block.soil]
    return ground_of(rng, usual.seepage_mm_d, usual.storage_mm_cm, paper.grounds_spread)


# -- the link -------------------------------------------------------------------------------------


def _slow_down(parts: Parts, paper: TrialPaper) -> Simulated:
    """Let the link be like a real one for the history; how it was is given back."""
    usual = parts.simulator.behaviour
    parts.simulator.behave(
        delay_s=(1.0, paper.link.slowest_s),
        receipt_delay_s=(1.0, paper.link.slowest_receipt_s),
        delivered=paper.link.delivered,
        undeliverable=paper.link.undeliverable,
    )
    return usual


def _restore(parts: Parts, usual: Simulated) -> None:
    parts.simulator.behave(
        delay_s=usual.delay_s,
        receipt_delay_s=usual.receipt_delay_s,
        delivered=usual.delivered,
        undeliverable=usual.undeliverable,
    )
