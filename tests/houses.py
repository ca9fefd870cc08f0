"""A small house for tests: real parts on a store of its own, a moved clock, an invented plot."""

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from gateway.advisory.number import Number
from gateway.advisory.records import NitrogenPlan, NitrogenSplit, Phone
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.compose import House
from gateway.settings import Settings
from gateway.trial.clock import MovedClock

MORNING = datetime(2026, 3, 10, 1, 0, tzinfo=UTC)  # 09:00 in the scheme's zone, a Tuesday
TODAY = date(2026, 3, 10)
ZONE = "Asia/Manila"
READER = Number("+12025550107")
STRANGER = Number("+12025550199")


@dataclass
class TestHouse:
    """The house, and what the invented scheme in it is made of."""

    __test__ = False

    house: House
    clock: MovedClock
    scheme_id: int
    block_id: int
    phones: dict[Number, Phone] = field(default_factory=dict)
    zone: str = ZONE
    others: list[House] = field(default_factory=list)
    """Further houses on the same store, closed with this one."""

    def close(self) -> None:
        """Give back every connection."""
        for house in (self.house, *self.others):
            house.store.close()

    def add_plot(
        self,
        code: str,
        *readers: Number,
        planted_days_ago: int = 35,
        plot: Plot | None = None,
        season: Season | None = None,
        plan: NitrogenPlan | None = None,
        language: str = "en",
        reads: str | None = None,
    ) -> int:
        """A plot with a season of 120 days, transplanted with seedlings of 20 days."""
        planted = self.today - timedelta(days=planted_days_ago)
        season = season or Season("transplanted", planted, planted - timedelta(days=20), 120)
        plot = plot or Plot(code, 0.4, "clay-loam", 15.0, 20.0, 20.0, bars=frozenset())
        with self.house.store.begin() as unit:
            plot_id = unit.schemes.add_plot(
                self.scheme_id, self.block_id, replace(plot, code=code), ""
            )
            plan_id = unit.schemes.add_plan(self.scheme_id, plan) if plan else None
            unit.schemes.add_season(plot_id, season, "Invented 120", plan_id)
            grower = unit.schemes.add_grower(self.scheme_id, f"Grower of {code}")
            unit.schemes.assign_grower(plot_id, grower)
            for number in readers:
                phone = unit.people.phone_of(self.scheme_id, number, self.clock.now())
                unit.people.enrol_reader(
                    phone.id, plot_id, grower, language, reads, self.clock.now()
                )
                self.phones[number] = unit.people.phone(phone.id)
            unit.commit()
        return plot_id

    @property
    def today(self) -> date:
        """The day in the scheme's zone."""
        return self.clock.now().astimezone(ZoneInfo(self.zone)).date()

    def sure_water(self, *windows: WaterWindow) -> None:
        """The turns that are known to come."""
        with self.house.store.begin() as unit:
            unit.schemes.add_water(self.block_id, list(windows))
            unit.commit()

    def text(self, sender: Number, body: str) -> list[str]:
        """One text through the simulator, all the way to the phone; what it got for it."""
        simulator = self.house.simulators["simulator"]
        before = len(simulator.inbox(sender))
        simulator.text(sender, body)
        self.settle()
        return [shown.text for shown in simulator.inbox(sender)[before:]]

    def settle(self) -> None:
        """Let everything that is under way arrive."""
        for _ in range(6):
            self.clock.move(timedelta(seconds=2))
            self.house.simulators["simulator"].pump(self.clock.now())
            self.house.dispatchers["simulator"]()


def open_test_house(url: str, flows: Path | None = None, zone: str = ZONE) -> TestHouse:
    """A house on the migrated database ``url``, with one scheme and one block."""
    settings = Settings(
        database_url=url,
        phone_keys="a key for tests only and thirty-two long",  # type: ignore[arg-type]
        web_secret="a secret for tests only",  # type: ignore[arg-type]
        phones_page=True,
        **({"flows": flows} if flows else {}),
    )
    clock = MovedClock(MORNING)
    house = House(settings, clock, {})
    with house.store.begin() as unit:
        scheme = unit.schemes.add("TRY", "Trial Reach", "Trial Office", zone, "en")
        block = unit.schemes.add_block(scheme.id, "Upper", "U1", 30.0)
        unit.commit()
    return TestHouse(house, clock, scheme.id, block, zone=zone)


PLAN = NitrogenPlan(
    "Invented plan",
    "urea",
    46,
    "A. Approver",
    date(2026, 1, 5),
    "plan of the invented office",
    (NitrogenSplit(30, 40, 30),),
)
