"""The dialled menu: from the first page to a report, back, astray and to a polite end."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.advisory.papers import plain_forms
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.menu import load_menu
from gateway.flowfiles.menu_checks import check_menu, longest_facts
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.letters import is_bare, languages_among
from gateway.messages.menu import (
    MenuFacts,
    MenuState,
    Step,
    resume,
    state_from_text,
    state_to_text,
    step,
)
from gateway.messages.menunow import language_names
from gateway.messages.segments import count_segments
from tests.wording.conftest import FLOWS, LOCALES

MENU = load_menu(FLOWS)
SHIPPED = load_catalogues(LOCALES)
VOCABULARIES = load_vocabularies(FLOWS)
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
        last = step(MENU, state_from_text(state_to_text(last.state))[0], entry, facts, said)
    return last


@pytest.mark.parametrize(
    ("facts", "entries", "report"),
    [
        pytest.param(TWO, ["1", "1", "1", "12"], "H07 BELOW 12", id="below"),
        pytest.param(TWO, ["1", "2", "2", "3"], "H09 ABOVE 3", id="above"),
        pytest.param(TWO, ["1", "1", "3"], "H07 0", id="at the soil"),
        pytest.param(TWO, ["1", "1", "4"], "H07 DRY", id="dry"),
        pytest.param(ONE, ["1", "1", "12"], "H07 BELOW 12", id="one plot is not asked for"),
        pytest.param(ONE, ["1", "1", "12,5"], "H07 BELOW 12.5", id="decimal comma"),
        pytest.param(ONE, ["1", "1", "-12"], "H07 BELOW 12", id="minus on the page for below"),
        pytest.param(ONE, ["1", "१", "१२"], "H07 BELOW 12", id="devanagari digits"),
        pytest.param(ONE, ["1", "١", "١٢"], "H07 BELOW 12", id="arabic digits"),
        pytest.param(ONE, ["1", "1", "\u200f١٢\u200e"], "H07 BELOW 12", id="marks nobody sees"),
        pytest.param(ONE, ["1", "1", " 12 "], "H07 BELOW 12", id="blanks"),
        pytest.param(ONE, ["1", "1", "012"], "H07 BELOW 12", id="leading zero"),
        pytest.param(MANY, ["1", "9", "1", "1", "7"], "H07 BELOW 7", id="second page of plots"),
        pytest.param(
            MANY, ["1", "9", "9", "9", "9", "1", "4"], "H01 DRY", id="round to the first page"
        ),
        pytest.param(TWO, ["1", "1", "0", "2", "4"], "H09 DRY", id="back and another plot"),
        pytest.param(
            TWO, ["1", "1", "1", "0", "2", "5"], "H07 ABOVE 5", id="back and another side"
        ),
        pytest.param(ONE, ["1", "7", "1", "12"], "H07 BELOW 12", id="astray once"),
        pytest.param(
            ONE, ["1", "7", "1", "x", "12"], "H07 BELOW 12", id="astray once on each page"
        ),
        pytest.param(TWO, ["2", "1", "1"], "H07 FLOODED", id="irrigated"),
        pytest.param(TWO, ["2", "1", "2"], "H07 NO WATER", id="no water"),
        pytest.param(TWO, ["2", "1", "3"], "H07 RAIN", id="rain"),
        pytest.param(TWO, ["2", "1", "4", "20"], "H07 RAIN 20 mm", id="rain in mm"),
        pytest.param(TWO, ["2", "1", "5"], "H07 UREA", id="fertiliser"),
        pytest.param(TWO, ["2", "2", "6"], "H09 HEADS", id="heads out"),
        pytest.param(TWO, ["2", "1", "9", "7", "1"], "H07 FEW WEEDS", id="few weeds"),
        pytest.param(ONE, ["2", "9", "7", "2"], "H07 WEEDS", id="many weeds, one plot"),
        pytest.param(ONE, ["2", "9", "8"], "H07 SPRAY", id="sprayed"),
        pytest.param(ONE, ["2", "9", "0", "1"], "H07 FLOODED", id="back to the first part"),
        pytest.param(TWO, ["2", "2", "0", "0", "1", "1", "4"], "H07 DRY", id="back to the start"),
        pytest.param(ONE, ["2", "0", "1", "4"], "H07 DRY", id="back to the start, one plot"),
    ],
)
def test_a_dialogue_reports(facts: MenuFacts, entries: list[str], report: str) -> None:
    last = dial(facts, *entries)
    assert last.end
    assert last.report == report
    assert last.text.startswith(report.split()[0])


def test_the_report_is_in_the_words_of_the_phone_s_language() -> None:
    last = dial(ONE, "1", "1", "12.5", catalogue=SHIPPED["id"])
    assert last.report == "H07 BAWAH 12.5"
    assert last.text.startswith("H07: air 12,5 cm di BAWAH tanah.")


def test_the_first_page_asks_what_it_is_about() -> None:
    assert dial(TWO).text.split("\n") == [
        "What is it about?",
        "1 Water in the tube",
        "2 Other news",
        "3 My plots now",
        "4 Making the tube",
        "5 Language",
        "6 Talk to the office",
    ]


def test_the_plots_are_listed() -> None:
    assert dial(TWO, "1").text == "Which plot?\n1 H07\n2 H09\n0 Back"


@pytest.mark.parametrize(
    ("entries", "report"),
    [
        pytest.param(["6"], "HELP", id="talk to the office"),
        pytest.param(["3", "1"], "ADVICE", id="the advice in full"),
        pytest.param(["4", "1"], "TUBE", id="the tube guide as texts"),
        pytest.param(["5", "2"], "LANGUAGE Bangla", id="language"),
    ],
)
def test_what_is_of_no_plot_is_reported_without_one(entries: list[str], report: str) -> None:
    last = dial(replace(TWO, languages=("English", "Bangla")), *entries)
    assert (last.end, last.report) == (True, report)
    assert last.text == "Thank you. The answer comes as a text."


def test_each_plot_has_its_line_as_many_as_fit() -> None:
    asked: list[str] = []

    def now(plot: str) -> str:
        asked.append(plot)
        return f"{plot} IRRIGATE by Thu 12 Mar"

    text = dial(replace(MANY, now=now), "3").text
    assert text.startswith("H01 IRRIGATE by Thu 12 Mar\nH02 ")
    assert text.endswith("\n1 Advice as a text\n9 More\n0 Back")
    assert len(set(asked)) <= 6, "what no page shows is not looked up"


def test_the_tube_guide_goes_on_and_back_step_by_step() -> None:
    said = [SHIPPED["en"].say(f"menu.tube-{number}") for number in range(1, 7)]
    shown = [dial(TWO, "4", *["9"] * number).text.split("\n")[0] for number in range(7)]
    assert shown == [*said, said[0]]
    assert dial(TWO, "4", "9", "9", "0").text.startswith(said[1])
    assert dial(TWO, "4", "9", "0", "0").text == dial(TWO).text


def test_a_page_lists_six_plots_and_offers_more() -> None:
    lines = dial(MANY, "1").text.split("\n")
    assert lines == ["Which plot?", *(f"{n} H{n:02}" for n in range(1, 7)), "9 More", "0 Back"]


def test_fewer_plots_stand_on_a_page_of_a_script_that_needs_more_room() -> None:
    text = dial(MenuFacts(tuple(f"ABCDEF{n:02}" for n in range(9))), "1", catalogue=BENGALI).text
    count = count_segments(text)
    assert count.encoding == "ucs2"
    assert count.units <= 65
    assert 1 <= text.count("ABCDEF") < 6


@pytest.mark.parametrize(
    "entry",
    ["", "7", "00", "x", "12 cm below", "1" * 500, "+12", "٪", "\x00", "½", "²", "9"],
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
    last = dial(ONE, "1", "2", entry)
    assert not last.end
    assert last.text.startswith("Not clear.")


def test_a_phone_without_plots_is_told_so() -> None:
    last = dial(MenuFacts(()))
    assert last.end
    assert last.report is None
    assert "No plot is on the list" in last.text


def test_a_state_that_is_not_ours_begins_anew() -> None:
    for text in (None, "{broken", "[1]", '{"page": "plot", "colour": 1}'):
        assert state_from_text(text) == (None, "")
    gone = MenuState("a-page-that-is-gone")
    assert step(MENU, gone, "1", TWO, SHIPPED["en"]).text == dial(TWO).text


def test_a_dialogue_that_broke_off_goes_on_at_its_page() -> None:
    state = dial(TWO, "1", "2", "1", "x").state
    again = resume(MENU, state, TWO, SHIPPED["en"])
    assert again.text == "H09: how many cm BELOW the soil?\n0 Back"
    assert step(MENU, again.state, "12", TWO, SHIPPED["en"]).report == "H09 BELOW 12"
    assert resume(MENU, state, ONE, SHIPPED["en"]).text == dial(ONE).text
    assert resume(MENU, state, MenuFacts(()), SHIPPED["en"]).end


def test_a_plot_that_the_phone_no_longer_reads_is_not_reported() -> None:
    state = dial(TWO, "1", "2", "1").state
    after = step(MENU, state, "12", ONE, SHIPPED["en"])
    assert (after.end, after.report) == (False, None)


FORMS = {**SHIPPED, **{form.language: form for form in plain_forms(SHIPPED).values()}}
LONGEST = {code: longest_facts(FORMS[code], SHIPPED) for code in FORMS}


def fits(text: str, code: str) -> bool:
    """Whether a page fits a phone that is sent that form of a language."""
    count = count_segments(text)
    plain = FORMS[code].plain or is_bare(code)
    assert plain == (count.encoding == "gsm7") or text.isascii(), text
    return count.units <= (150 if count.encoding == "gsm7" else 65)


@pytest.mark.parametrize("facts", [0, 8], ids=["urgent", "waiting"])
@pytest.mark.parametrize("code", sorted(FORMS))
def test_every_page_in_every_language_fits_leads_on_and_leads_back(code: str, facts: int) -> None:
    phone = replace(LONGEST[code][facts], plots=("ABCDEF01", "ABCDEF02", "ABCDEF03"))
    start = step(MENU, None, "", phone, FORMS[code])
    seen, waiting, reports = {start.state: start.text}, [start.state], set()
    while waiting:
        state = waiting.pop()
        onward = 0
        for key in "1234567890":
            after = step(MENU, state, key, phone, FORMS[code])
            assert fits(after.text, code), after.text
            assert len(numbered(after.text)) <= 6
            if after.end:
                assert after.report, after.text
                reports.add(after.report)
            onward += after.state.misses == 0 or after.end
            if after.state.misses == 0 and not after.end and after.state not in seen:
                seen[after.state] = after.text
                waiting.append(after.state)
                if key in "12345678":
                    back = step(MENU, after.state, "0", phone, FORMS[code])
                    assert back.text.split("\n")[0] == seen[state].split("\n")[0]
        assert onward >= (1 if MENU.pages[state.page].kind == "number" else 2), seen[state]
    assert {state.page for state in seen} == set(MENU.pages)
    words = {r.removeprefix("ABCDEF01 ") for r in reports if r.startswith("ABCDEF01")}
    say = FORMS[code].say
    for keyword in ("flooded", "no-water", "rain", "nitrogen", "heads", "few-weeds", "spray"):
        assert say(f"keyword.{keyword}") in words
    assert {
        say("keyword.help"),
        say("keyword.advice"),
        *(f"{say('keyword.language')} {one}" for one in phone.languages),
    } <= reports


@pytest.mark.parametrize("code", sorted(FORMS))
@given(
    entries=st.lists(
        st.sampled_from(["0", "1", "2", "3", "4", "5", "9", "12", "x", ""]), max_size=25
    ),
    count=st.integers(1, 30),
)
def test_every_page_fits_a_phone_and_a_dialogue_ends_or_waits(
    code: str, entries: list[str], count: int
) -> None:
    plots = tuple(f"ABCDEF{number:02}" for number in range(count))
    facts = replace(LONGEST[code][8], plots=plots)
    state: MenuState | None = None
    for entry in entries:
        state, text, end, report = step(MENU, state, entry, facts, FORMS[code])
        assert fits(text, code), text
        assert len(numbered(text)) <= 6
        assert report is None or end
        assert len(state.trail) < 4
        if end:
            break


@pytest.mark.parametrize("code", sorted(FORMS))
def test_what_the_menu_reports_is_understood(code: str) -> None:
    language = code.split("-")[0]
    sender, vocabulary = Sender(("H07", "H09"), language), VOCABULARIES[language]
    for keyword, kind in KINDS.items():
        said = FORMS[code].say(f"keyword.{keyword}")
        of_plot = keyword not in ("help", "advice", "tube")
        heard = interpret(f"H07 {said}" if of_plot else said, sender, vocabulary)
        assert heard.outcome == "accept", heard
        found = [(one.kind, one.plot, one.value) for one in heard.meanings]
        assert found == [(kind[0], "H07" if of_plot else None, kind[1])]
    rain = interpret(f"H07 {FORMS[code].say('keyword.rain')} 20 mm", sender, vocabulary)
    assert [(one.kind, one.value) for one in rain.meanings] == [("rain", 20)]
    word = FORMS[code].say("keyword.language")
    scripts = {one: SHIPPED[one] for one in languages_among(SHIPPED)}
    for named, name in language_names(FORMS[code], scripts, plain_forms(SHIPPED)).items():
        heard = interpret(f"{word} {name}", sender, vocabulary)
        assert [(one.kind, one.value) for one in heard.meanings] == [("language", named)], name


KINDS = {
    "flooded": ("flooded", None),
    "no-water": ("no-water", None),
    "rain": ("rain", None),
    "nitrogen": ("nitrogen", None),
    "heads": ("flowering", None),
    "few-weeds": ("weeds", "few"),
    "weeds": ("weeds", "many"),
    "spray": ("spray", None),
    "help": ("help", None),
    "advice": ("advice-again", None),
    "tube": ("help", "tube"),
}


def numbered(text: str) -> list[str]:
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
        pytest.param("kind: number", "kind: digits", "need one of choices", id="no such kind"),
        pytest.param("to: plot}", "to: side}", "page of kind plots", id="no plot chosen"),
        pytest.param("to: plot}", "to: plot-of-news}", "no way leads", id="no way there"),
        pytest.param("start: start", "start: nowhere", "need one of start", id="start"),
        pytest.param("depth: 4", "depth: 2", "longer than 2 pages", id="too deep"),
        pytest.param("to: cm-below}", "to: plot}", "longer than 4 pages", id="in a circle"),
        pytest.param('more: "9"', 'more: "8"', "at most 7 choices", id="too many choices"),
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
    assert len(found) == len(FORMS)


def test_a_page_too_long_for_a_phone_is_found(flows: Path) -> None:
    edit(flows, "septets: 150", "septets: 60")
    assert any(
        "side: the page is too long for a phone" in one for one in check_menu(flows, SHIPPED)
    )
