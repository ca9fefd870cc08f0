"""Make the printed cards of a block: what stands on the card of each of its plots."""

from collections.abc import Sequence
from dataclasses import dataclass

from gateway.advisory.blockviews import BlockViews, CardLine
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.agronomy.bars import effect_of
from gateway.agronomy.case import Case
from gateway.agronomy.practice import Practice
from gateway.agronomy.sight import tube_bottom
from gateway.agronomy.threshold import threshold_of
from gateway.messages.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Card:
    """One plot's card. Levels are signed cm.

    ``fill_cm`` is where to fill to, ``dry_cm`` where to irrigate at the latest; None where the soil
    or the water of the plot lets nothing dry. ``bottom_cm`` is the lower end of its tube.
    """

    code: str
    block: str
    grower: str
    words: Catalogue
    fill_cm: float
    dry_cm: float | None
    bottom_cm: float


@dataclass(frozen=True, slots=True)
class MakeCards:
    """From plots on record to their cards, in the language and letters of who reads each."""

    store: Store
    views: BlockViews
    clock: Clock
    papers: Papers

    def of_block(self, scheme: Scheme, block: str) -> list[Card]:
        """The cards of a block's plots by code; none where there is no such block."""
        return self._made(scheme, self.views.of_block(scheme.id, block))

    def of_plot(self, scheme: Scheme, code: str) -> list[Card]:
        """The card of one plot, or nothing where there is no such plot."""
        return self._made(scheme, self.views.of_plot(scheme.id, code))

    def _made(self, scheme: Scheme, lines: Sequence[CardLine]) -> list[Card]:
        with self.store.begin(write=False) as unit:
            found = unit.books.cases([line.plot_id for line in lines], self.clock.now())
        cases = {each.plot_id: each.case for each in found}
        return [self._card(line, cases[line.plot_id], scheme.language) for line in lines]

    def _card(self, line: CardLine, case: Case, usual: str) -> Card:
        """Paper costs the same in every letter, so it has the script where nobody chose."""
        practice = self.papers.rules.practice_of(case.plot.profile)
        may_dry = effect_of(case, practice) == "none"
        return Card(
            code=line.code,
            block=line.block,
            grower=line.grower,
            words=self.papers.catalogue(line.language or usual, line.letters or "script"),
            fill_cm=_fill_cm(case, practice),
            dry_cm=threshold_of(case, practice, "tillering").level_cm if may_dry else None,
            bottom_cm=tube_bottom(case, practice),
        )


def _fill_cm(case: Case, practice: Practice) -> float:
    """The usual depth, or what a low bund keeps: more would run off to the neighbour."""
    fill, bund = practice.water.flood_to_cm, case.plot.bund_cm
    return fill if bund is None else min(fill, max(practice.water.shallow_cm, bund))
