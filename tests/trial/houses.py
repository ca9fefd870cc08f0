"""Houses with a trial in them, on a store of their own."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from gateway.advisory.number import Number
from gateway.advisory.records import AdviceRecord
from gateway.carriers.simulator import Simulator
from gateway.compose import House
from gateway.settings import Settings
from gateway.store.migrate import migrate
from gateway.trial.clock import MovedClock
from gateway.trial.make import make_trial, start_of
from gateway.trial.paper import TrialPaper
from gateway.trial.parts import Parts, TrialHints


@dataclass
class TrialHouse:
    """A house on a moved clock; ``hints`` is what the trial left to try."""

    house: House
    clock: MovedClock
    paper: TrialPaper
    today: date
    hints: TrialHints | None = None

    @property
    def told(self) -> TrialHints:
        """The hints of a trial that was made here."""
        assert self.hints is not None
        return self.hints

    @property
    def simulator(self) -> Simulator:
        """The carrier, whose phones show what came."""
        return self.house.simulators["simulator"]

    @property
    def parts(self) -> Parts:
        """The house's parts, as the composition hands them to a trial."""
        return Parts(
            store=self.house.store,
            clock=self.clock,
            papers=self.house.papers,
            simulator=self.simulator,
            dispatch=self.house.dispatchers["simulator"],
            owe=self.house.owe,
            listen=self.house.bell.listeners.append,
            paper=self.paper,
        )

    def go_to(self, hour: int) -> None:
        """Go on to that hour of the day of the trial, in the scheme's zone."""
        zone = ZoneInfo(self.paper.scheme.zone)
        self.clock.move_to(datetime.combine(self.today, time(hour), zone).astimezone(UTC))

    def text(self, number: Number, body: str) -> list[str]:
        """One text, all the way there and back; what the phone got for it."""
        before = len(self.simulator.inbox(number))
        self.simulator.text(number, body)
        for _ in range(4):
            self.clock.move(timedelta(seconds=20))
            self.simulator.pump(self.clock.now())
            self.house.dispatchers["simulator"]()
        return [shown.text for shown in self.simulator.inbox(number)[before:]]

    def latest(self, code: str) -> AdviceRecord | None:
        """The newest advice on a plot."""
        with self.house.store.begin(write=False) as unit:
            return unit.advices.latest(unit.schemes.plot_id(self.house.scheme.id, code))


def open_trial_house(path: Path, paper: TrialPaper, today: date) -> TrialHouse:
    """A house on the SQLite file ``path``; nothing is in it unless the file was made before."""
    url = f"sqlite:///{path}"
    migrate(url)
    settings = Settings(database_url=url, phone_keys="a key for tests only and thirty-two long")  # type: ignore[arg-type]
    clock = MovedClock(start_of(paper, today))
    return TrialHouse(House(settings, clock, {}), clock, paper, today)


def lived(path: Path, paper: TrialPaper, today: date, seed: int = 7) -> TrialHouse:
    """A house in which the trial was made."""
    home = open_trial_house(path, paper, today)
    home.hints = make_trial(home.parts, today, seed)
    return home


def only(paper: TrialPaper, *codes: str) -> TrialPaper:
    """The paper with these plots alone; what speaks of others falls away."""
    return replace(
        paper,
        plots={code: paper.plots[code] for code in codes},
        shared=tuple(p for p in paper.shared if set(p.plots) <= set(codes)),
        incidents=tuple(i for i in paper.incidents if i.number or i.phone_of in codes),
        tries=tuple(t for t in paper.tries if t.plot in codes),
    )


def shorter(paper: TrialPaper) -> TrialPaper:
    """The paper with half of its history."""
    return replace(paper, history=replace(paper.history, days=paper.history.days // 2))
