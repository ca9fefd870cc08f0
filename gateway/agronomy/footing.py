"""What a forecast stands on: the plot's signs, its balance, what it taught, the spell that runs.

Clock: a day runs from morning to morning. A reading without a time is taken in the morning, a
flooding without a time is over by noon; weather of a day falls after its morning.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final, Protocol

from gateway.agronomy.anchor import anchored
from gateway.agronomy.balance import MORNING, Balance, CropDays, balance_of
from gateway.agronomy.beliefs import Belief, prior_of
from gateway.agronomy.case import Case
from gateway.agronomy.clouds import Cloud, cloud_of
from gateway.agronomy.forecast_practice import ForecastPractice, SoilPrior
from gateway.agronomy.habit import Posterior
from gateway.agronomy.learning import learned
from gateway.agronomy.looks import Prospect, best_morning, prospect_of
from gateway.agronomy.outlook import Ahead, Outlook, outlook_of
from gateway.agronomy.posterior import taught
from gateway.agronomy.readers import by_reader
from gateway.agronomy.spells import (
    AFTER_MORNING,
    Sign,
    Spell,
    groups_of,
    signs_of,
    spell_until,
)

DAYS_OF_LATE: Final = 20  # whose rain tells what may yet fall,
DAYS_AHEAD: Final = 10  # as does what is forecast for so many,
DRY_DAYS: Final = 2  # as if so many dry ones stood beside them


class Growth(Protocol):
    """What the forecast asks of a season's calendar: the days of the crop, where known."""

    @property
    def flowering_from(self) -> date | None: ...
    @property
    def flowering_to(self) -> date | None: ...
    @property
    def harvest_on(self) -> date | None: ...


class Practice(Protocol):
    """What the forecast asks of the scheme's practice."""

    @property
    def forecast(self) -> ForecastPractice: ...


@dataclass(frozen=True, slots=True)
class Footing:
    """``now`` is in days since year 1; ``belief`` is what the spells before ``spell`` taught.

    ``posterior`` is that belief with its sign, where there were such spells.
    """

    on: date
    calendar: Growth
    known: ForecastPractice
    soil: SoilPrior
    signs: tuple[Sign, ...]
    now: float
    balance: Balance
    belief: Belief
    spell: Spell
    posterior: Posterior | None = None
    foreseen: int = 0

    @property
    def last(self) -> date:
        """The day of the last reading or flooding."""
        return date.fromordinal(int(self.signs[-1].time))

    def seen_now(self, reckoned_cm: float) -> float:
        """The level that was read today, as it stands at the tube, else the one reckoned."""
        sign = self.signs[-1]
        read = self.last == self.on and not sign.flooded and not sign.dry
        return sign.level_cm if read else reckoned_cm

    @property
    def known_levels(self) -> int:
        """Readings below the surface and floodings so far: what its pace was learned from."""
        return sum(1 for s in self.signs if s.flooded or (not s.dry and s.level_cm < 0))

    def cloud(self) -> Cloud:
        """The guesses now."""
        return cloud_of(self.belief, self.spell, self.known.model)

    def told(self) -> Cloud:
        """The guesses now that stand on the last level, for the dates that are told."""
        return anchored(self.belief, self.spell, self.known.model)

    def ahead(self) -> Ahead:
        """The mornings to come, which all outlooks from here share."""
        today, mornings = self.on.toordinal(), self.mornings
        days = [today + n + MORNING - self.now for n in range(1, mornings + 1)]
        return Ahead.of(days, *self.balance.mornings(self.now, today + 1, mornings))

    def outlook(self, cloud: Cloud, ahead: Ahead | None = None) -> Outlook:
        """The mornings to come by guess."""
        return outlook_of(cloud, ahead or self.ahead(), self.known.model)

    def expected(self, ahead: Ahead | None = None) -> Outlook:
        """The mornings to come for the dates that are told, with the rain that nobody forecast.

        No look is put off for the sake of rain that nobody foresees.
        """
        model, unforeseen = self.known.model, self.unforeseen()
        return outlook_of(self.told(), ahead or self.ahead(), model, unforeseen)

    def unforeseen(self) -> list[float]:
        """Rain in mm to be expected beside the forecast of each day, and where there is none."""
        today, part = self.on.toordinal(), self.known.model.forecast_rain_missed
        since = max(self.balance.first, today - DAYS_OF_LATE)
        until = max(today, min(self.foreseen + 1, today + DAYS_AHEAD))
        fallen = self.balance.between(since + MORNING, until + MORNING)[1]
        usual = fallen / (until - since + DRY_DAYS)
        days = range(today, today + self.mornings)
        return [usual * (part if day <= self.foreseen else 1.0) for day in days] if usual else []

    @property
    def mornings(self) -> int:
        """How many mornings the outlook holds: two gaps between readings and a day either side."""
        return 2 * self.known.gaps.most + 2

    def gap(self, doubted: bool) -> int:
        """The most days from the last reading or flooding to the next reading."""
        gaps = self.known.gaps
        most = gaps.light_soil if self.soil.light else gaps.most
        start, end = self.calendar.flowering_from, self.calendar.flowering_to
        if start and end and start <= self.on <= end:
            most = min(most, gaps.flowering)
        return min(most, gaps.after_doubt) if doubted else most

    def prospect(self, outlook: Outlook, threshold_cm: float) -> Prospect:
        """The outlook as seen from a threshold."""
        return prospect_of(outlook, threshold_cm, self.known.look)

    def next_look(self, prospect: Prospect, doubted: bool) -> date:
        """The day to read again."""
        soonest, gap = int(self.last == self.on), self.gap(doubted)
        latest = (self.last - self.on).days + gap
        if latest <= soonest:
            return self.on + timedelta(days=soonest)
        look = self.known.look
        look = look if self.known_levels >= look.known_levels else look.of_unknown()
        best = best_morning(prospect, soonest, latest, gap, look, self.known.model)
        return self.on + timedelta(days=best)

    def flooded_tomorrow(self, to_cm: float) -> "Footing":
        """The footing of tomorrow if the plot is flooded then, and nothing else is told."""
        on = self.on + timedelta(days=1)
        at, doubt = on.toordinal() + AFTER_MORNING, self.known.model.flood_doubt_cm
        flood = Sign(at, to_cm, doubt, flooded=True)
        belief = learned(self.belief, self.spell.read, self.known.model)
        return replace(
            self,
            on=on,
            signs=(*self.signs, flood),
            now=at,
            belief=belief,
            spell=Spell(to_cm, doubt, ()),
        )


def footing_of(case: Case, calendar: Growth, practice: Practice) -> Footing:
    """The footing of a case on its day."""
    known, today = practice.forecast, case.as_of.toordinal()
    bottom = case.plot.tube_bottom_cm
    bottom = known.tube_bottom_cm if bottom is None else bottom
    soil = known.soil(case.plot.soil)
    signs = signs_of(case.events, today, bottom, known.model)
    now = max([today + MORNING, *(sign.time for sign in signs)])
    balance = _balance(case, calendar, known, signs)
    signs = by_reader(signs, balance, known.model)
    prior = prior_of(soil, known.model) if case.habit is None else case.habit
    *past, running = groups_of(signs) or [()]
    nothing = Spell(0.0, known.model.jump_cm, ())
    posterior = taught(prior, past, balance, known.model, case.kept)
    return Footing(
        on=case.as_of,
        calendar=calendar,
        known=known,
        soil=soil,
        signs=tuple(signs),
        now=now,
        balance=balance,
        belief=prior if posterior is None else posterior.belief,
        spell=spell_until(running, now, balance) if running else nothing,
        posterior=posterior,
        foreseen=max((each.on.toordinal() for each in case.weather), default=0),
    )


def _balance(case: Case, calendar: Growth, known: ForecastPractice, signs: list[Sign]) -> Balance:
    today = case.as_of.toordinal()
    first = min(int(signs[0].time) - 1 if signs else today, today)
    crop = CropDays.of(case, calendar.harvest_on, known)
    # Two gaps between readings, a day either side, and the day by which a plot may be flooded.
    return balance_of(case, first, today + 2 * known.gaps.most + 3, crop, known)
