"""Report on one plot: its case, calendar, estimate and advice, for the plot's page."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.advise import judge_plot
from gateway.advisory.mending import Pause
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import BookRow
from gateway.advisory.views import LogFilter, LogLine, Views
from gateway.agronomy.advice import Advice
from gateway.agronomy.case import Case
from gateway.agronomy.drydown import Estimate, estimate
from gateway.agronomy.fan import FanDay, fan_of
from gateway.agronomy.methane import Methane, methane
from gateway.agronomy.practice import QualityPractice
from gateway.agronomy.quality import all_alike
from gateway.agronomy.savings import Account, account
from gateway.agronomy.sight import tube_bottom
from gateway.agronomy.stages import Calendar, calendar_for
from gateway.agronomy.threshold import threshold_of
from gateway.messages.wording import word_advice

LOG_LINES: Final = 20
REGION: Final = "world"  # no country is on record


@dataclass(frozen=True, slots=True)
class PlotPage:
    """Everything a plot's page shows, as known now. Phones are masked, levels are signed cm.

    ``made_up`` are reason codes of what its readers' reports of other plots say about this one's.
    """

    code: str
    block: str
    grower: str
    readers: tuple[str, ...]
    today: date
    zone: str
    case: Case
    calendar: Calendar | None
    estimate: Estimate | None
    advice: Advice
    advice_text: str
    rows: list[BookRow]
    log: tuple[LogLine, ...]
    threshold_cm: float
    tube_bottom_cm: float
    made_up: tuple[str, ...] = ()
    fan: tuple[FanDay, ...] = ()
    account: Account | None = None
    methane: Methane | None = None
    resting: Pause | None = None


@dataclass(frozen=True, slots=True)
class ReportPlot:
    """Builds the page of one plot, judged now and kept nowhere."""

    store: Store
    views: Views
    clock: Clock
    papers: Papers

    def __call__(self, scheme_id: int, code: str) -> PlotPage:
        """The page of plot ``code``. Raises NotOnRecord."""
        plot_id, block, grower, readers = self.views.plot_title(scheme_id, code)
        now = self.clock.now()
        with self.store.begin(write=False) as unit:
            scheme = next(s for s in unit.schemes.all() if s.id == scheme_id)
            found, advice = judge_plot(unit, self.papers, plot_id, now)
            rows = unit.books.rows(plot_id)
            resting = unit.pauses.over([plot_id], now).get(plot_id)
        case = found.case
        practice = self.papers.rules.practice_of(case.plot.profile)
        calendar = estimated = water = None
        threshold = threshold_of(case, practice, advice.stage).level_cm
        if case.season:
            calendar = calendar_for(case, case.season, practice)
            forming = calendar.may_form_panicles(case.as_of)
            threshold = threshold_of(case, practice, advice.stage, forming).level_cm
            estimated = estimate(case, calendar, practice, threshold)
            water = account(case, calendar, practice)
        log = self.views.reply_log(scheme_id, LogFilter(plot=code), 1, LOG_LINES)
        return PlotPage(
            code=code,
            block=block,
            grower=grower,
            readers=readers,
            today=now.astimezone(ZoneInfo(scheme.zone)).date(),
            zone=scheme.zone,
            case=case,
            calendar=calendar,
            estimate=estimated,
            advice=advice,
            advice_text=word_advice(advice, self.papers.catalogue(scheme.language)),
            rows=rows,
            log=log.lines,
            made_up=self._made_up(plot_id, case, practice.quality),
            threshold_cm=threshold,
            tube_bottom_cm=tube_bottom(case, practice),
            fan=fan_of(estimated.footing) if estimated and estimated.footing else (),
            account=water,
            methane=methane(len(water.drained), REGION) if water else None,
            resting=resting,
        )

    def _made_up(self, plot_id: int, case: Case, known: QualityPractice) -> tuple[str, ...]:
        since = case.as_of - timedelta(days=known.alike_days)
        readers = self.views.looks_of_readers(plot_id, since)
        return ("reader-plots-alike",) if any(all_alike(each, known) for each in readers) else ()
