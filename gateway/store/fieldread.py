"""Reading what a case is made of, for one plot or for hundreds, in a handful of statements."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import Row, Select, Text, bindparam, cast, func, literal, select

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.records import PlotCase, Setting
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.season import Season
from gateway.store.cases import (
    Water,
    belief_of,
    day_of,
    event_told,
    is_told,
    planned_season,
    plot_of,
    posterior_of,
    season_of,
    still_to_come,
    water_of,
    weather_of,
    window_of,
)
from gateway.store.plain import read_splits
from gateway.store.stands import SeasonRow, Stand, book_from, book_from_day, of_season
from gateway.store.tables.crop import (
    event,
    nitrogen_plan,
    nitrogen_split,
    posterior,
    season,
    water_window,
    weather,
)
from gateway.store.tables.places import block, plot, scheme
from gateway.store.work import Work, one_or_many

later = event.alias("superseding")
LIVE: Final = (
    event.c.on >= bindparam("the_day"),
    event.c.recorded_at <= bindparam("known"),
    event.c.kind != "withdrawn",
    ~select(literal(1))
    .where(later.c.supersedes == event.c.id, later.c.recorded_at <= bindparam("known"))
    .exists(),
)
PLACE: Final = (
    *plot.c,
    block.c.outlet_lps.label("block_lps"),
    block.c.water_told,
    block.c.pumps_told,
    scheme.c.zone,
)
OF_SEASON: Final = {**season.c, **posterior.c, "carried": posterior.c.season_id}
# A row for each season of a plot, and one with nothing in the season's columns where it has none.
PLOTS: Final = one_or_many(
    plot.c.id,
    select(*PLACE, *(OF_SEASON[name].label(f"season_{name}") for name in SeasonRow._fields))
    .join(block, block.c.id == plot.c.block_id)
    .join(scheme, scheme.c.id == plot.c.scheme_id)
    .outerjoin(season, season.c.plot_id == plot.c.id)
    .outerjoin(posterior, posterior.c.season_id == season.c.id)
    .order_by(plot.c.id, season.c.established_on),
)
# The fields as text: what many rows say alike is then read once.
EVENTS: Final = one_or_many(
    event.c.plot_id,
    select(event.c.plot_id, event.c.kind, event.c.on, event.c.at, cast(event.c.fields, Text))
    .where(*LIVE)
    .order_by(event.c.id),
)
OF_PLAN: Final = ("n_percent", "product", "name", "approved_by", "approved_on", "source")
SPLITS: Final = (
    select(nitrogen_split, *(nitrogen_plan.c[name] for name in OF_PLAN))
    .join(nitrogen_plan, nitrogen_plan.c.id == nitrogen_split.c.plan_id)
    .where(nitrogen_split.c.plan_id.in_(bindparam("the_plans", expanding=True)))
    .order_by(nitrogen_split.c.from_day, nitrogen_split.c.id)
)
WINDOWS: Final = (
    select(water_window)
    .where(water_window.c.block_id.in_(bindparam("the_blocks", expanding=True)))
    .order_by(water_window.c.from_on, water_window.c.id)
)
KNOWN_SKY: Final = (
    weather.c.scheme_id == bindparam("the_scheme"),
    weather.c.on >= bindparam("first"),
    weather.c.recorded_at <= bindparam("known"),
)
NEWEST: Final = select(func.max(weather.c.id)).where(*KNOWN_SKY).group_by(weather.c.on)
# Rows of the weather are only ever added: how many are known, and the newest, tell them apart.
SKY_SIGN: Final = select(func.count().label("days"), func.max(weather.c.id).label("newest")).where(
    *KNOWN_SKY
)
WEATHER: Final = (
    select(*(weather.c[name] for name in WeatherDay.__slots__))
    .where(weather.c.id.in_(NEWEST))
    .order_by(weather.c.on)
)


class FieldReader:
    """Cases of plots as known at one instant."""

    def __init__(self, work: Work, as_of: datetime) -> None:
        self.work, self.as_of = work, as_of

    @staticmethod
    def plots_with_season(limit: int) -> Select[Any]:
        """The numbers of the next plots of a scheme that have a season at all."""
        has_season = select(literal(1)).where(season.c.plot_id == plot.c.id).exists()
        return (
            select(plot.c.id)
            .where(
                plot.c.scheme_id == bindparam("the_scheme"),
                plot.c.id > bindparam("after"),
                has_season,
            )
            .order_by(plot.c.id)
            .limit(limit)
        )

    def case(self, plot_id: int) -> PlotCase:
        """The case of one plot. Raises NotOnRecord."""
        found = self._cases([plot_id], active=False)
        for case in found:
            return case
        raise NotOnRecord("plot", str(plot_id))

    def all(self, plot_ids: list[int]) -> Iterator[PlotCase]:
        """The cases of those plots, whatever their season has come to."""
        return self._cases(plot_ids, active=False)

    def active(self, plot_ids: list[int]) -> Iterator[PlotCase]:
        """The cases of those plots whose season is not harvested."""
        return self._cases(plot_ids, active=True)

    def case_again(self, plot_id: int, setting: Setting) -> Case:
        """A case with its setting given, and its book and weather as known then."""
        rows = self.work.rows(PLOTS.one, the_one=plot_id)
        if not rows:
            raise NotOnRecord("plot", str(plot_id))
        row, seasons = rows[0], _seasons(rows)
        grown, day = setting.season, day_of(self.as_of, row.zone)
        earlier = None if grown is None else book_from(seasons, grown.established_on)
        events = self._events({plot_id: earlier})[plot_id]
        return Case(
            day,
            setting.plot,
            grown,
            of_season(events, grown, earlier is not None),
            self._weather(row.scheme_id, grown, day),
            setting.next_water,
            setting.habit,
        )

    def case_before(self, plot_id: int) -> Case | None:
        """The season before the present one as it stood when the last of it was told."""
        (stand,) = self._stands([plot_id])
        if stand.season is None or stand.earlier is None:
            return None
        grown = self._crops([stand.season, stand.earlier])
        events = stand.of_earlier(grown[stand.season.id])
        if not events:
            return None
        old, day = grown[stand.earlier.id], max(event.on for event in events)
        sky = self._weather(stand.row.scheme_id, old, day)
        known = belief_of(stand.earlier.habit)
        return Case(day, plot_of(stand.row), old, events, sky, habit=known)

    def _cases(self, plot_ids: list[int], active: bool) -> Iterator[PlotCase]:
        stands = [each for each in self._stands(plot_ids) if not (active and each.is_over)]
        crops = self._crops([each.season for each in stands if each.season is not None])
        water = self._water([each.row for each in stands])
        skies: dict[tuple[int, date], tuple[WeatherDay, ...]] = {}
        for each in stands:
            row, now, day = each.row, each.season, each.day
            grown = None if now is None else crops[now.id]
            sky = (row.scheme_id, _first_sky(grown, day))
            if sky not in skies:
                skies[sky] = self._weather(row.scheme_id, grown, day)
            case = Case(
                day,
                plot_of(row),
                grown,
                of_season(each.events, grown, each.earlier is not None),
                skies[sky],
                still_to_come(water.get(water_of(row)), day),
                None if now is None else belief_of(now.habit),
                None if now is None else posterior_of(now),
            )
            yield PlotCase(
                row.id,
                row.scheme_id,
                None if now is None else now.id,
                case,
                to_carry=each.earlier is not None and now is not None and now.carried is None,
            )

    def _stands(self, plot_ids: list[int]) -> list[Stand]:
        """Plots with the season that counts, and what of their books it may need."""
        rows = _by_plot(PLOTS.rows(self.work, plot_ids))
        seasons = {key: _seasons(those) for key, those in rows.items()}
        days = {key: day_of(self.as_of, those[0].zone) for key, those in rows.items()}
        since = {key: book_from_day(seasons[key], day) for key, day in days.items()}
        books = self._events(since)
        return [Stand.of(rows[key][0], seasons[key], days[key], books[key]) for key in rows]

    def _events(self, since: dict[int, date | None]) -> dict[int, list[Event]]:
        """The books of plots, each from its day on at least; those without a day in whole."""
        book: dict[int, list[Event]] = defaultdict(list)
        later = [key for key, day in since.items() if day is not None]
        whole = [key for key, day in since.items() if day is None]
        first = min((day for day in since.values() if day is not None), default=date.min)
        for plots, day in ((later, first), (whole, date.min)):
            if plots:
                asked = {"the_day": day, "known": self.as_of}
                rows: Sequence[Any] = EVENTS.rows(self.work, plots, **asked)
                for plot_id, kind, on, at, fields in rows:
                    book[plot_id].append(event_told(kind, on, at, fields))
        return book

    def _crops(self, seasons: Sequence[SeasonRow]) -> dict[int, Season]:
        """Seasons by number, each with the splits of its plan, else with its own."""
        of_plan = self._plans({row.plan_id for row in seasons if row.plan_id is not None})
        return {
            row.id: season_of(row, read_splits(row.splits))
            if row.plan_id is None
            else planned_season(row, of_plan[row.plan_id])
            for row in seasons
        }

    def _plans(self, wanted: set[int]) -> dict[int, list[Row[Any]]]:
        """The splits of plans, which are never changed once they are on record."""
        memory = self.work.memory.plans
        known = {plan: memory.get(plan) for plan in wanted}
        missing = sorted(plan for plan, splits in known.items() if splits is None)
        found: dict[int, list[Row[Any]]] = {plan: splits or [] for plan, splits in known.items()}
        for row in self.work.rows(SPLITS, the_plans=missing) if missing else ():
            found[row.plan_id].append(row)
        for plan in missing:
            memory.put(plan, found[plan])
        return found

    def _water(self, plots: Sequence[Row[Any]]) -> dict[Water, tuple[WaterWindow, ...]]:
        """What was told of the turns and power hours that these plots depend on."""
        windows: dict[Water, tuple[WaterWindow, ...]] = {
            water_of(row): () for row in plots if is_told(row)
        }
        blocks = sorted({block_id for block_id, _source in windows})
        for row in self.work.rows(WINDOWS, the_blocks=blocks) if blocks else ():
            key = (row.block_id, row.source)
            if key in windows:
                windows[key] += (window_of(row),)
        return windows

    def _weather(self, scheme_id: int, grown: Season | None, day: date) -> tuple[WeatherDay, ...]:
        first = _first_sky(grown, day)
        asked = {"the_scheme": scheme_id, "first": first, "known": self.as_of}
        known = self.work.need("weather", scheme_id, SKY_SIGN, **asked)
        sign, memory = (scheme_id, first, known.days, known.newest), self.work.memory.skies
        days = memory.get(sign)
        if days is None:
            days = tuple(weather_of(row) for row in self.work.rows(WEATHER, **asked))
            memory.put(sign, days)
        return days


def _first_sky(grown: Season | None, day: date) -> date:
    return day if grown is None else min(grown.established_on, day)


def _by_plot(rows: Sequence[Row[Any]]) -> dict[int, list[Row[Any]]]:
    found: dict[int, list[Row[Any]]] = defaultdict(list)
    for row in rows:
        found[row.id].append(row)
    return found


def _seasons(rows: Sequence[Row[Any]]) -> list[SeasonRow]:
    """The seasons of a plot's rows, in the order of their establishment."""
    found = (SeasonRow(*row[len(PLACE) :]) for row in rows)
    return [each for each in found if each.id is not None]
