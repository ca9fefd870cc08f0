"""Facts told of a whole block: shown first, written with exclusions, and undone all at once."""

from datetime import date, timedelta

import pytest

from gateway.advisory.advise import judge_plot
from gateway.advisory.blockfact import KINDS, NewFact, NotTold
from gateway.advisory.errors import NotOnRecord
from gateway.agronomy.advice import Advice
from gateway.agronomy.plot import Plot
from tests.houses import READER, TODAY, TestHouse

CODES = ("H07", "H08", "H09")
FACTS = {
    "flooded": {"cm": 5.0},
    "rain": {"mm": 60.0},
    "canal-shut": {},
    "planted": {"on": TODAY - timedelta(days=3)},
    "sprayed": {"product": "blue tin"},
    "salty": {},
    "submerged": {},
}


@pytest.fixture
def block(home: TestHouse) -> TestHouse:
    """Three plots in one block, the last with nobody asked about its soil, each read as dry."""
    home.add_plot("H08", READER)
    home.add_plot("H09", READER, plot=Plot("H09", 0.4, "clay-loam", 15.0, 20.0, 20.0, bars=None))
    home.text(READER, "H07 16 below, H08 16 below, H09 16 below")
    return home


def fact(kind: str, **changes: object) -> NewFact:
    told = {"block": "Upper", "kind": kind, "on": TODAY, **FACTS[kind], **changes}
    return NewFact(**told)  # type: ignore[arg-type]


def advice(home: TestHouse) -> dict[str, Advice]:
    """What each plot of the block is advised now."""
    found = {}
    with home.house.store.begin(write=False) as unit:
        for code in CODES:
            plot_id = unit.schemes.plot_id(home.scheme_id, code)
            found[code] = judge_plot(unit, home.house.papers, plot_id, home.clock.now())[1]
    return found


def rows(home: TestHouse, code: str) -> list[tuple[str, bool, bool]]:
    """Kind, told of the block, superseded: of each row of a plot's book."""
    with home.house.store.begin(write=False) as unit:
        found = unit.books.rows(unit.schemes.plot_id(home.scheme_id, code))
    return [(row.event.kind, row.event.by_block, row.superseded) for row in found]


def test_every_kind_is_tried_here() -> None:
    assert set(FACTS) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_undo_gives_each_plot_its_advice_again(block: TestHouse, kind: str) -> None:
    scheme, tell = block.house.scheme, block.house.tell_block
    before = advice(block)
    fact_id = tell(scheme, "A. Officer", fact(kind))
    told = advice(block)
    assert all(told[code] != before[code] for code in CODES)
    undone = tell.undo(scheme, "A. Officer", fact_id)
    assert undone is not None
    assert undone.kept == ()
    assert advice(block) == before
    assert tell.undo(scheme, "A. Officer", fact_id) is None
    assert advice(block) == before


@pytest.mark.parametrize("kind", KINDS)
def test_a_preview_says_what_would_be_advised_and_writes_nothing(
    block: TestHouse, kind: str
) -> None:
    before, books = advice(block), {code: rows(block, code) for code in CODES}
    shown = block.house.tell_block.preview(block.house.scheme, fact(kind))
    assert advice(block) == before
    assert {code: rows(block, code) for code in CODES} == books
    assert block.house.tell_block.lines(block.house.scheme) == []
    assert [line.before for line in shown] == [before[code].action for code in CODES]
    block.house.tell_block(block.house.scheme, "A. Officer", fact(kind))
    assert [line.after for line in shown] == [advice(block)[code].action for code in CODES]


def test_plots_left_out_are_not_touched(block: TestHouse) -> None:
    before = advice(block)
    new = fact("flooded", left_out=("H08",))
    shown = block.house.tell_block.preview(block.house.scheme, new)
    assert [line.why_not for line in shown] == ["", "left out", ""]
    block.house.tell_block(block.house.scheme, "A. Officer", new)
    assert advice(block)["H08"] == before["H08"]
    assert rows(block, "H08") == [("reading", False, False)]
    assert rows(block, "H07")[1:] == [("flooded", True, False)]
    (line,) = block.house.tell_block.lines(block.house.scheme)
    assert (line.plots, line.left_out, line.by) == (2, ("H08",), "A. Officer")


def test_an_undo_supersedes_and_erases_nothing(block: TestHouse) -> None:
    tell = block.house.tell_block
    fact_id = tell(block.house.scheme, "A. Officer", fact("rain"))
    tell.undo(block.house.scheme, "B. Officer", fact_id)
    assert rows(block, "H07") == [("reading", False, False), ("rain", True, True)]
    (line,) = tell.lines(block.house.scheme)
    assert (line.undone_by, line.undone_at) == ("B. Officer", block.clock.now())


def test_what_was_put_right_after_the_fact_stays_so(block: TestHouse) -> None:
    tell, scheme = block.house.tell_block, block.house.scheme
    fact_id = tell(scheme, "A. Officer", fact("planted"))
    with block.house.store.begin() as unit:
        plots = unit.block_facts.plots(block.block_id, TODAY)
        told = next(plot for plot in plots if plot.code == "H08")
        assert told.season_id is not None
        assert told.established_on == TODAY - timedelta(days=3)
        assert unit.block_facts.plant(told.season_id, date(2026, 2, 20), told.established_on)
        unit.commit()
    undone = tell.undo(scheme, "A. Officer", fact_id)
    assert undone is not None
    assert undone.kept == ("H08",)


@pytest.mark.parametrize(
    ("new", "error", "cure"),
    [
        (fact("flooded", on=TODAY + timedelta(days=1)), NotTold, "need a day within the 7 days"),
        (fact("flooded", on=TODAY - timedelta(days=8)), NotTold, "need a day within the 7 days"),
        (fact("flooded", cm=-3.0), NotTold, "need cm above the soil"),
        (fact("rain", mm=None), NotTold, "rain needs its mm"),
        (fact("rain", mm=9999.0), NotTold, "up to 1825"),
        (fact("flooded", left_out=("Z99",)), NotTold, "Z99 is no plot of block Upper"),
        (fact("flooded", left_out=CODES), NotTold, "it holds for no plot"),
        (fact("flooded", block="Nowhere"), NotOnRecord, "no block Nowhere"),
        (NewFact("Upper", "frost", TODAY), NotTold, "need one of flooded"),
    ],
)
def test_a_fact_that_cannot_be_is_refused_and_nothing_is_written(
    block: TestHouse, new: NewFact, error: type[Exception], cure: str
) -> None:
    with pytest.raises(error, match=cure):
        block.house.tell_block(block.house.scheme, "A. Officer", new)
    assert rows(block, "H07") == [("reading", False, False)]
    assert block.house.tell_block.lines(block.house.scheme) == []
