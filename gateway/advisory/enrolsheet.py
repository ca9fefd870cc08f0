"""Enrol a sheet of plots: what is new is added, what is told anew is put right, in one go."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from gateway.advisory.changes import Change, Changes, compare, note_changes
from gateway.advisory.cropstold import same_crop, season_told
from gateway.advisory.errors import SheetMistake, SheetRefused
from gateway.advisory.number import Number
from gateway.advisory.plotstold import plot_told
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Phone, Scheme
from gateway.advisory.register import OnRecord, PlotOnRecord
from gateway.advisory.sheets import BlockEntry, PlotEntry, PlotSheet, ReaderEntry, SeasonEntry
from gateway.advisory.tellphone import TellHolders
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.messages.letters import Letters


def enrol_sheet(
    store: Store,
    clock: Clock,
    scheme: Scheme,
    sheet: PlotSheet,
    tell_holders: TellHolders,
    check: bool = False,
) -> Changes:
    """Enrol all of a sheet in one unit of work; with ``check`` it is left without a commit.

    Every changed thing leaves an audit row, and the sheet one with its counts. The same sheet a
    second time changes nothing. What a sheet does not name stays as it is. Phones that read a plot
    already are told of one that reads it from now on.
    """
    with store.begin() as unit:
        before = unit.register.of(scheme.id)
        changes = Enrolling(unit, scheme, before, clock.now(), sheet, tell_holders)()
        if not check:
            note_changes(unit, scheme.id, "sheet enrolled", sheet.name, changes, clock.now())
            unit.commit()
    return changes


@dataclass
class Enrolling:
    """One sheet under way, in one unit of work, against what stood on record before it."""

    unit: Unit
    scheme: Scheme
    before: OnRecord
    now: datetime
    sheet: PlotSheet
    tell_holders: TellHolders
    changes: list[Change] = field(default_factory=list)
    growers: dict[tuple[str, Number], int] = field(default_factory=dict)
    languages: dict[Number, str] = field(default_factory=dict)
    letters: dict[Number, Letters] = field(default_factory=dict)

    def __call__(self) -> Changes:
        """Take all of it in."""
        for plot in self.before.plots.values():
            for number, reader in plot.readers.items():
                self.growers.setdefault((reader.grower, number), reader.grower_id)
                self.languages[number] = reader.language
        for each in (reader for plot in self.sheet.plots for reader in plot.readers):
            if each.language is not None:
                self.languages[each.number] = each.language
            if each.letters is not None:
                self.letters[each.number] = each.letters
        blocks = {name: block.id for name, block in self.before.blocks.items()}
        for block in self.sheet.blocks:
            blocks[block.name] = self._block(block)
        for entry in self.sheet.plots:
            self._plot(entry, blocks)
        return Changes(tuple(self.changes))

    # -- places -----------------------------------------------------------------------------------

    def _block(self, entry: BlockEntry) -> int:
        known = self.before.blocks.get(entry.name)
        if known is None:
            self._new("block", entry.name, entry.line)
            return self.unit.schemes.add_block(
                self.scheme.id, entry.name, entry.outlet or "", entry.outlet_lps
            )
        was = {"outlet": known.outlet, "outlet_lps": known.outlet_lps}
        told = {"outlet": entry.outlet, "outlet_lps": entry.outlet_lps}
        if now := self._changed("block", entry.name, entry.line, was, told):
            self.unit.register.change_block(known.id, **(was | now))
        return known.id

    def _plot(self, entry: PlotEntry, blocks: Mapping[str, int]) -> None:
        known = self.before.plots.get(entry.code)
        if known is None:
            known = self._add_plot(entry, blocks)
        else:
            self._put_right(entry, known, blocks)
        growers = self._farmed_by(entry, known)
        for reader in entry.readers:
            self._reader(reader, known, growers)
        if entry.season is not None:
            self._season(entry.season, known)

    def _add_plot(self, entry: PlotEntry, blocks: Mapping[str, int]) -> PlotOnRecord:
        assert entry.block is not None, "the sheet was checked: a new plot names its block"
        plot = Plot(entry.code, **entry.facts)
        plot_id = self.unit.schemes.add_plot(self.scheme.id, blocks[entry.block], plot)
        self._new("plot", entry.code, entry.line)
        return PlotOnRecord(plot_id, entry.block, plot, None, None, {}, {})

    def _put_right(self, entry: PlotEntry, known: PlotOnRecord, blocks: Mapping[str, int]) -> None:
        was = {name: getattr(known.plot, name) for name in entry.facts}
        was |= {"block": known.block, "grower": known.grower}
        told = {**entry.facts, "block": entry.block, "grower": entry.grower}
        if now := self._changed("plot", entry.code, entry.line, was, told):
            block = blocks[now.get("block", known.block)]
            self.unit.register.change_plot(known.id, block, plot_told(known.plot, entry.facts))

    # -- people -----------------------------------------------------------------------------------

    def _farmed_by(self, entry: PlotEntry, known: PlotOnRecord) -> dict[str, int]:
        """Who farms the plot, by name; the sheet's first grower of the plot from now on."""
        growers = {reader.grower: reader.grower_id for reader in known.readers.values()}
        if known.grower is not None and known.grower_id is not None:
            growers[known.grower] = known.grower_id
        if entry.grower is not None and entry.grower != known.grower:
            number = next((r.number for r in entry.readers if r.grower == entry.grower), None)
            growers[entry.grower] = self._grower(entry.grower, number, growers)
            self.unit.schemes.assign_grower(known.id, growers[entry.grower])
        return growers

    def _grower(self, name: str, number: Number | None, of_plot: Mapping[str, int]) -> int:
        """The grower of that name on this plot or with this phone; else another of that name."""
        known = of_plot.get(name) or (self.growers.get((name, number)) if number else None)
        found = known or self.unit.schemes.add_grower(self.scheme.id, name)
        if number is not None:
            self.growers[name, number] = found
        return found

    def _reader(self, entry: ReaderEntry, known: PlotOnRecord, growers: dict[str, int]) -> None:
        name = f"of {known.plot.code}, phone {entry.number.masked}"
        language = self.languages.get(entry.number, self.scheme.language)
        reader = known.readers.get(entry.number)
        growers[entry.grower] = self._grower(entry.grower, entry.number, growers)
        if reader is None:
            self._new("reader", name, entry.line)
            phone = self._let_read(entry, known, growers[entry.grower], language, entry.reads)
            before = (self.unit.people.phone(each.phone_id) for each in known.readers.values())
            self.tell_holders(self.unit, self.scheme, known.plot.code, phone, before, self.now)
            return
        names = ("language", "letters", "reads", "grower", "role")
        was = {name: getattr(reader, name) for name in names}
        told = {"language": language, "reads": entry.reads, "grower": entry.grower}
        told |= {"role": entry.role, "letters": self.letters.get(entry.number)}
        if self._changed("reader", name, entry.line, was, told):
            reads = entry.reads or reader.reads
            self._let_read(entry, known, growers[entry.grower], language, reads)

    def _let_read(
        self, entry: ReaderEntry, plot: PlotOnRecord, grower: int, language: str, reads: str | None
    ) -> Phone:
        phone = self.unit.people.phone_of(self.scheme.id, entry.number, self.now)
        self.unit.people.enrol_reader(
            phone.id, plot.id, grower, language, reads, self.now, entry.role
        )
        if entry.number in self.letters:
            self.unit.people.set_letters(phone.id, self.letters[entry.number])
        return phone

    # -- crops ------------------------------------------------------------------------------------

    def _season(self, entry: SeasonEntry, plot: PlotOnRecord) -> None:
        name = f"of {plot.plot.code} from {entry.established_on}"
        plan_id = None if entry.plan is None else self.before.plans[entry.plan]
        known = same_crop(entry.established_on, plot.seasons, self.sheet.same_crop)
        told = season_told(entry)
        if known is None:
            self._new("season", name, entry.line)
            season = Season(**{key: value for key, value in told.items() if value is not None})
            self.unit.schemes.add_season(plot.id, season, entry.variety or "", plan_id)
            return
        was = {key: getattr(known.season, key) for key in told} | {"plan": known.plan}
        if now := self._changed("season", name, entry.line, was, told | {"plan": entry.plan}):
            facts = {key: value for key, value in now.items() if key != "plan"}
            season = self._in_order(entry, replace(known.season, **facts))
            self.unit.register.change_season(known.id, season, plan_id)

    def _in_order(self, entry: SeasonEntry, season: Season) -> Season:
        """The season put right; day and seedlings of a nursery go with the nursery."""
        if season.method != "transplanted":
            return replace(season, sown_on=None, seedlings=None)
        if season.sown_on is not None and season.sown_on > season.established_on:
            cure = f"the nursery is on record as sown {season.sown_on}, tell its day too"
            raise SheetRefused((SheetMistake(self.sheet.name, entry.line, "sown_on", cure),))
        return season

    # -- what came of it --------------------------------------------------------------------------

    def _new(self, what: str, name: str, line: int) -> None:
        self.changes.append(Change("new", what, name, line))

    def _changed(
        self, what: str, name: str, line: int, was: Mapping[str, Any], told: Mapping[str, Any]
    ) -> dict[str, Any]:
        """What the sheet puts right; noted, also where it is nothing."""
        change = compare(what, name, line, was, told)
        self.changes.append(change)
        return dict(change.now)
