"""The dialled menu: from the first page to a report, back, astray and to a polite end."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.menu import check_menu, load_menu
from gateway.flowfiles.reader import FlowError
from gateway.messages.catalogue import Catalogue
from gateway.messages.menu import (
    MenuFacts,
    MenuState,
    Step,
    resume,
    state_from_text,
    state_to_text,
    step,
)
from gateway.messages.segments import count_segments
from tests.wording.conftest import FLOWS, LOCALES

MENU = load_menu(FLOWS)
SHIPPED = load_catalogues(LOCALES)
ONE, TWO = MenuFacts(("H07",)), MenuFacts(("H07", "H09"))
MANY = MenuFacts(tuple(f"H{number:02}" for number in range(1, 21)))
BENGALI = Catalogue(
    "bn",
    {**SHIPPED["en"].words, "menu.plot": "কোন জমি?", "menu.more": "আরও", "menu.back": "পিছনে"},
    True,
    None,
    None,
    "",
)


def dial(facts: MenuFacts, *entries: str, catalogue: Catalogue | None = None) -> Step:
    """Dial, then enter one after another; each state goes through its kept text."""
    said = catalogue or SHIPPED["en"]
    last = step(MENU, None, "", facts, said)
    for entry in entries:
        assert not last.end, f"ended before {entry!r}: {last.text}"
        last = step(MENU, state_from_text(state_to_text(last.state)), entry, facts, said)
    return last


@pytest.mark.parametrize(
    ("facts", "entries", "report"),
    [
        pytest.param(TWO, ["1", "1", "12"], "H07 BELOW 12", id="below"),
        pytest.param(TWO, ["2", "2", "3"], "H09 ABOVE 3", id="above"),
        pytest.param(TWO, ["1", "3"], "H07 0", id="at the soil"),
        pytest.param(TWO, ["1", "4"], "H07 DRY", id="dry"),
        pytest.param(ONE, ["1", "12"], "H07 BELOW 12", id="one plot is not asked for"),
        pytest.param(ONE, ["1", "12,5"], "H07 BELOW 12.5", id="decimal comma"),
        pytest.param(ONE, ["1", "-12"], "H07 BELOW 12", id="minus on the page for below"),
        pytest.param(ONE, ["१", "१२"], "H07 BELOW 12", id="devanagari digits"),
        pytest.param(ONE, ["١", "١٢"], "H07 BELOW 12", id="arabic digits"),
        pytest.param(ONE, ["1", "\u200f١٢\u200e"], "H07 BELOW 12", id="marks nobody sees"),
        pytest.param(ONE, ["1", " 12 "], "H07 BELOW 12", id="blanks"),
        pytest.param(ONE, ["1", "012"], "H07 BELOW 12", id="leading zero"),
        pytest.param(MANY, ["9", "1", "1", "7"], "H07 BELOW 7", id="second page of plots"),
        pytest.param(MANY, ["9", "9", "9", "9", "1", "4"], "H01 DRY", id="round to the first page"),
        pytest.param(TWO, ["1", "0", "2", "4"], "H09 DRY", id="back and another plot"),
        pytest.param(TWO, ["1", "1", "0", "2", "5"], "H07 ABOVE 5", id="back and another side"),
        pytest.param(ONE, ["7", "1", "12"], "H07 BELOW 12", id="astray once"),
        pytest.param(ONE, ["7", "1", "x", "12"], "H07 BELOW 12", id="astray once on each page"),
    ],
)
def test_a_dialogue_reports(facts: MenuFacts, entries: list[str], report: str) -> None:
    last = dial(facts, *entries)
    assert last.end
    assert last.report == report
    assert last.text.startswith(report.split()[0])


def test_the_report_is_in_the_words_of_the_phone_s_language() -> None:
    last = dial(ONE, "1", "12.5", catalogue=SHIPPED["id"])
    assert last.report == "H07 BAWAH 12.5"
    assert last.text.startswith("H07: air 12,5 cm di BAWAH tanah.")


def test_the_first_page_lists_the_plots() -> None:
    assert dial(TWO).text == "Which plot?\n1 H07\n2 H09"


def test_a_page_lists_six_plots_and_offers_more() -> None:
    lines = dial(MANY).text.split("\n")
    assert lines == ["Which plot?", *(f"{n} H{n:02}" for n in range(1, 7)), "9 More"]


def test_fewer_plots_stand_on_a_page_of_a_script_that_needs_more_room() -> None:
    text = dial(MenuFacts(tuple(f"ABCDEF{n:02}" for n in range(9))), catalogue=BENGALI).text
    count = count_segments(text)
    assert count.encoding == "ucs2"
    assert count.units <= 65
    assert 1 <= text.count("ABCDEF") < 6


@pytest.mark.parametrize(
    "entry",
    ["", "5", "00", "x", "12 cm below", "1" * 500, "+12", "٪", "\x00", "½", "²", "9"],
)
def test_an_unknown_entry_shows_the_page_once_more_then_ends_politely(entry: str) -> None:
    again = dial(ONE, entry)
    assert not again.end
    assert again.text == "Not clear.\n" + dial(ONE).text
    last = dial(ONE, entry, entry)
    assert last.end
    assert last.report is None
    assert last.text == "Nothing was saved. Dial again, or text for example H07 BELOW 10"


@pytest.mark.parametrize("entry", ["61", "300", "12..5", "-", "-12", "12.55", "1e1"])
def test_a_number_that_cannot_be_is_not_reported(entry: str) -> None:
    last = dial(ONE, "2", entry)
    assert not last.end
    assert last.text.startswith("Not clear.")


def test_a_phone_without_plots_is_told_so() -> None:
    last = dial(MenuFacts(()))
    assert last.end
    assert last.report is None
    assert "No plot is on the list" in last.text


def test_a_state_that_is_not_ours_begins_anew() -> None:
    assert state_from_text(None) is None
    assert state_from_text("{broken") is None
    assert state_from_text('{"page": "plot", "colour": 1}') is None
    gone = MenuState("a-page-that-is-gone")
    assert step(MENU, gone, "1", TWO, SHIPPED["en"]).text == dial(TWO).text


def test_a_dialogue_that_broke_off_goes_on_at_its_page() -> None:
    state = dial(TWO, "2", "1", "x").state
    again = resume(MENU, state, TWO, SHIPPED["en"])
    assert again.text == "H09: how many cm BELOW the soil?\n0 Back"
    assert step(MENU, again.state, "12", TWO, SHIPPED["en"]).report == "H09 BELOW 12"
    assert resume(MENU, state, ONE, SHIPPED["en"]).text == dial(ONE).text
    assert resume(MENU, state, MenuFacts(()), SHIPPED["en"]).end


def test_a_plot_that_the_phone_no_longer_reads_is_not_reported() -> None:
    state = dial(TWO, "2", "1").state
    after = step(MENU, state, "12", ONE, SHIPPED["en"])
    assert (after.end, after.report) == (False, None)


@pytest.mark.parametrize("language", sorted(SHIPPED))
@given(
    entries=st.lists(
        st.sampled_from(["0", "1", "2", "3", "4", "5", "9", "12", "x", ""]), max_size=25
    ),
    count=st.integers(1, 30),
)
def test_every_page_fits_a_phone_and_a_dialogue_ends_or_waits(
    language: str, entries: list[str], count: int
) -> None:
    facts = MenuFacts(tuple(f"ABCDEF{number:02}" for number in range(count)))
    state: MenuState | None = None
    for entry in entries:
        state, text, end, report = step(MENU, state, entry, facts, SHIPPED[language])
        size = count_segments(text)
        assert size.units <= (150 if SHIPPED[language].plain else 65), text
        assert len(re_numbered(text)) <= 6
        assert report is None or (end and report.split()[0] in facts.plots)
        assert len(state.trail) < 4
        if end:
            break


def re_numbered(text: str) -> list[str]:
    """The numbered lines of a page, without those for back and more."""
    return [line for line in text.split("\n") if line[:2] in {f"{n} " for n in range(1, 9)}]


# -- the file -----------------------------------------------------------------------------------


@pytest.fixture
def flows(tmp_path: Path) -> Path:
    shutil.copy(FLOWS / "menu.yaml", tmp_path)
    return tmp_path


def edit(flows: Path, old: str, new: str) -> int:
    """Change the file. Returns the line of the first change."""
    path = flows / "menu.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def test_the_shipped_menu_fits_in_every_language() -> None:
    assert check_menu(FLOWS, SHIPPED) == []


@pytest.mark.parametrize(
    ("old", "new", "cure"),
    [
        pytest.param("to: side}", "to: sides}", "to: need one of", id="no such page"),
        pytest.param("kind: number", "kind: digits", "need one of plots", id="no such kind"),
        pytest.param("start: plot", "start: side", "page of kind plots", id="start"),
        pytest.param("depth: 4", "depth: 2", "longer than 2 pages", id="too deep"),
        pytest.param("to: cm-below}", "to: plot}", "longer than 4 pages", id="in a circle"),
        pytest.param("choices: 6", "choices: 3", "1 to 3 choices", id="too many choices"),
        pytest.param('more: "9"', 'more: "2"', "above the 6 choices", id="key of a choice"),
        pytest.param("keyword.dry]", "shout]", "need plot, number", id="no such word"),
        pytest.param("at_most: 60", "at_most: sixty", "need a number", id="no number"),
        pytest.param("minus: yes", "sign: yes", "unknown key", id="unknown key"),
    ],
)
def test_a_mistake_in_the_menu_is_answered_with_line_and_cure(
    flows: Path, old: str, new: str, cure: str
) -> None:
    edit(flows, old, new)
    with pytest.raises(FlowError, match=cure) as caught:
        load_menu(flows)
    assert str(caught.value).startswith(f"{flows / 'menu.yaml'}:{caught.value.line}:")


def test_an_edited_number_changes_the_dialogue(flows: Path) -> None:
    edit(flows, "at_most: 60", "at_most: 10")
    menu = load_menu(flows)
    state = MenuState("cm-below", plot="H07")
    assert step(menu, state, "12", ONE, SHIPPED["en"]).report is None
    assert step(MENU, state, "12", ONE, SHIPPED["en"]).report == "H07 BELOW 12"


def test_a_title_that_no_catalogue_has_is_found(flows: Path) -> None:
    line = edit(flows, "title: menu.side", "title: menu.nowhere") - 1
    found = check_menu(flows, SHIPPED)
    assert found[0].startswith(f"{flows / 'menu.yaml'}:{line}:5 side: no message menu.nowhere")
    assert len(found) == len(SHIPPED)


def test_a_page_too_long_for_a_phone_is_found(flows: Path) -> None:
    edit(flows, "septets: 150", "septets: 60")
    assert any(
        "side: the page is too long for a phone" in one for one in check_menu(flows, SHIPPED)
    )
