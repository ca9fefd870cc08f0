"""The rows of the list of readers, on each kind of database."""

from datetime import timedelta

from gateway.advisory.readerviews import ReaderPage
from tests.houses import READER, STRANGER, TestHouse


def listed(home: TestHouse, block: str | None = None, page: int = 1, size: int = 9) -> ReaderPage:
    return home.house.store.reader_views.readers(home.scheme_id, block, page, size)


def test_the_longest_silent_stands_first_and_who_never_texted_before_all(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER)
    assert [line.plots for line in listed(home).lines] == [("H07",), ("K12",)]
    home.text(READER, "H07 BELOW 8")
    home.clock.move(timedelta(days=2))
    assert [line.plots for line in listed(home).lines] == [("K12",), ("H07",)]
    home.text(STRANGER, "K12 BELOW 8")
    assert [line.plots for line in listed(home).lines] == [("H07",), ("K12",)]


def test_a_phone_is_one_line_however_many_plots_it_reads(home: TestHouse) -> None:
    home.add_plot("K12", READER)
    home.add_plot("A03", READER)
    (line,) = listed(home).lines
    assert line.plots == ("A03", "H07", "K12")
    assert line.growers == ("Grower of A03", "Grower of H07", "Grower of K12")
    assert line.phone == READER.masked


def test_leaving_shows_and_keeps_the_line(home: TestHouse) -> None:
    home.text(READER, "STOP")
    (line,) = listed(home).lines
    assert line.left_at is not None
    assert line.heard_at is not None


def test_pages_hold_each_phone_once_and_end_at_the_last(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER)
    seen = [listed(home, page=page, size=1) for page in (1, 2, 3)]
    assert [page.lines[0].plots for page in seen] == [("H07",), ("K12",), ("K12",)]
    assert [(page.page, page.pages, page.total) for page in seen] == [
        (1, 2, 2),
        (2, 2, 2),
        (2, 2, 2),
    ]


def test_a_block_lists_its_own(home: TestHouse) -> None:
    assert listed(home, "Upper").total == 1
    assert listed(home, "Nowhere\x00").lines == ()


def test_a_stranger_and_another_scheme_are_not_listed(home: TestHouse) -> None:
    home.text(STRANGER, "hello")
    assert listed(home).total == 1
    views = home.house.store.reader_views
    assert views.readers(home.scheme_id + 1, None, 1, 9).lines == ()
