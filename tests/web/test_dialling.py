"""The dialled menu through the carrier's callback and on the simulated phone: all real parts."""

import html
import re
from dataclasses import replace
from datetime import timedelta

import pytest

from gateway.advisory.errors import StoreDown
from gateway.advisory.records import Dial
from gateway.advisory.views import LogFilter
from gateway.messages.segments import count_segments
from tests.houses import READER, STRANGER, TestHouse
from tests.web.conftest import Visitor
from tests.web.visits import TOKEN

LANGUAGES = ("en", "fr", "id", "fil", "vi", "bn", "hi")


class Dialler:
    """A phone that dials over HTTP, one session after another."""

    def __init__(self, place: TestHouse, visitor: Visitor, number=READER) -> None:
        self.place, self.client, self.number, self.session = place, visitor.client, number, 0

    def begin(self) -> str:
        self.session += 1
        return self.enter("")

    def enter(self, entry: str) -> str:
        step = {"session": f"s{self.session}", "from": self.number.reveal(), "entry": entry}
        answer = self.client.post("/carrier/simulator/ussd", json=step, headers=TOKEN)
        assert answer.status_code == 200
        self.asks, shown = answer.json["asks"], answer.json["show"]
        count = count_segments(shown)
        assert count.units <= (150 if count.encoding == "gsm7" else 65), shown
        return shown

    def dial(self, *entries: str) -> str:
        """Dial and enter one after another; what the last page shows."""
        shown = self.begin()
        for entry in entries:
            assert self.asks, shown
            shown = self.enter(entry)
        return shown

    def texts(self) -> list[str]:
        """What has come as texts since the last look."""
        inbox = self.place.house.simulators["simulator"].inbox
        before = len(inbox(self.number))
        self.place.settle()
        return [text.text for text in inbox(self.number)[before:]]


@pytest.fixture
def dialler(place: TestHouse, visitor: Visitor) -> Dialler:
    return Dialler(place, visitor)


def lines(place: TestHouse):
    wanted = LogFilter(direction="in")
    return place.house.store.views.reply_log(place.scheme_id, wanted, 1, 50).lines


def events(place: TestHouse, code: str) -> list[tuple[str, float | None]]:
    with place.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(place.scheme_id, code))
    found = [row.event for row in rows]
    return [(e.kind, e.level_cm if e.kind == "reading" else e.mm) for e in found]


@pytest.mark.parametrize(
    ("entries", "kind", "value"),
    [
        pytest.param(["1", "1", "12"], "reading", -12, id="below"),
        pytest.param(["1", "2", "3"], "reading", 3, id="above"),
        pytest.param(["1", "3"], "reading", 0, id="at the soil"),
        pytest.param(["1", "4"], "reading", None, id="dry"),
        pytest.param(["2", "1"], "flooded", None, id="irrigated"),
        pytest.param(["2", "2"], "no-water", None, id="no water"),
        pytest.param(["2", "4", "20"], "rain", 20, id="rain in mm"),
        pytest.param(["2", "5"], "nitrogen", None, id="fertiliser"),
        pytest.param(["2", "6"], "heading", None, id="heads out"),
        pytest.param(["2", "9", "7", "1"], "weeds", None, id="few weeds"),
        pytest.param(["2", "9", "7", "2"], "weeds", None, id="many weeds"),
        pytest.param(["2", "9", "8"], "spray", None, id="sprayed"),
    ],
)
def test_what_is_dialled_stands_in_the_book_and_is_answered_by_one_text(
    place, dialler, entries, kind, value
):
    shown = dialler.dial(*entries)
    assert (dialler.asks, shown.startswith("H07: ")) == (False, True)
    assert events(place, "H07") == [(kind, value)]
    (line,) = lines(place)
    assert line.outcome == "accept"
    (text,) = dialler.texts()
    assert text.startswith("H07")


def test_rain_of_no_known_depth_is_answered_and_changes_no_number(place, dialler):
    dialler.dial("2", "3")
    assert events(place, "H07") == []
    assert len(dialler.texts()) == 1
    assert lines(place)[0].body == "H07 RAIN"


def test_who_dials_for_the_office_is_handed_on(place, dialler):
    assert dialler.dial("6") == "Thank you. The answer comes as a text."
    (text,) = dialler.texts()
    assert "office" in text
    assert lines(place)[0].body == "HELP"


def test_the_tube_guide_begins_as_texts_too(dialler):
    assert dialler.dial("4").startswith("Pipe 40 cm long")
    dialler.enter("1")
    (text,) = dialler.texts()
    assert text.startswith("Tube 1 of 6")


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_phone_speaks_the_language_that_it_chose(place, visitor, language):
    first = "fr" if language == "en" else "en"
    place.add_plot("K12", STRANGER, language=first)
    phone = Dialler(place, visitor, STRANGER)
    own = place.house.papers.catalogues[language].say("language.name")
    shown = phone.dial("5")
    key = _key_of(phone, shown, place, first, language)
    phone.enter(key)
    (text,) = phone.texts()
    words = place.house.papers.catalogue(language)
    assert text == words.say("notice.language", plot="K12")
    assert phone.begin().split("\n")[0] == words.say("menu.start"), own
    # A reading in that language, in its own words and digits, and one answer to it.
    zero = {"bn": "০", "hi": "०"}.get(language, "0")
    for entry in (*"11", f"1{chr(ord(zero) + 2)}"):
        phone.enter(entry)
    assert not phone.asks
    assert events(place, "K12") == [("reading", -12)]
    assert len(phone.texts()) == 1


def _key_of(phone: Dialler, shown: str, place: TestHouse, speaks: str, wanted: str) -> str:
    papers = place.house.papers
    plain = papers.catalogue(speaks).plain
    name = papers.catalogue(wanted, "plain" if plain else "script").say("language.name")
    for _ in range(4):
        for line in shown.split("\n"):
            if line[2:] == name:
                return line[0]
        shown = phone.enter("9")
    raise AssertionError(f"{name} is on no page")


def test_each_plot_shows_its_newest_advice_and_asks_for_a_look_when_it_is_old(place, visitor):
    for code in ("K12", "K13", "K14"):
        place.add_plot(code, STRANGER)
    place.text(STRANGER, "K12 -16")
    place.text(STRANGER, "K13 -5")
    phone = Dialler(place, visitor, STRANGER)
    first = phone.dial("3").split("\n")
    assert first[0].startswith("K12 IRRIGATE by ")
    assert first[1].startswith("K13 add no water yet, LOOK ")
    assert first[2] == "K14 not read yet, LOOK in the tube"
    assert first[3:] == ["1 Advice as a text", "0 Back"]
    place.clock.move(timedelta(days=20))
    assert phone.dial("3").split("\n")[0] == "K12 LOOK in the tube, text us"
    phone.enter("1")
    (text,) = phone.texts()
    assert all(code in text for code in ("K12", "K13", "K14"))


def test_a_dialogue_that_broke_off_is_taken_up_within_five_minutes(place, dialler):
    page = dialler.dial("2", "4")
    place.clock.move(timedelta(minutes=4, seconds=59))
    assert dialler.begin() == page
    place.clock.move(timedelta(minutes=5, seconds=1))
    start = dialler.begin()
    assert start.startswith("What is it about?")
    for entry in ("1", "1", "12"):
        dialler.enter(entry)
    assert not dialler.asks
    assert dialler.begin() == start, "nothing older is taken up after an end"


def test_a_last_step_that_comes_twice_reports_once(place, dialler):
    dialler.dial("1")
    desk = place.house.app.extensions["desk"]
    step = Dial("simulator", "s1", READER, "4", place.clock.now())
    kept = desk.dial.store.begin
    failing = replace(desk.dial, store=Failing(kept, after=1))
    with pytest.raises(StoreDown):
        failing(step)
    assert desk.dial(step).end
    assert [line.body for line in lines(place)] == ["H07 DRY"]
    assert len(dialler.texts()) == 1


class Failing:
    """A store that is gone after so many units of work."""

    def __init__(self, begin, after: int) -> None:
        self._begin, self._left = begin, after

    def begin(self, write: bool = True):
        self._left -= 1
        if self._left < 0:
            raise StoreDown("tried")
        return self._begin(write)


def test_a_session_number_that_an_operator_uses_again_brings_a_second_report(place, dialler):
    dialler.dial("1", "4")
    place.clock.move(timedelta(seconds=30))
    assert dialler.enter("").startswith("What is it about?")
    for entry in ("2", "1"):
        dialler.enter(entry)
    assert [line.body for line in lines(place)] == ["H07 FLOODED", "H07 DRY"]
    assert len(dialler.texts()) == 2


def test_a_stray_key_shows_the_page_once_more_and_then_ends_with_nothing_stored(place, dialler):
    page = dialler.dial("1")
    assert dialler.enter("8") == f"Not clear.\n{page}"
    assert "H07 BELOW 10" in dialler.enter("8")
    assert (dialler.asks, events(place, "H07"), lines(place)) == (False, [], ())


def test_a_phone_that_reads_no_plot_is_told_so(place, visitor):
    phone = Dialler(place, visitor, STRANGER)
    assert "No plot is on the list" in phone.begin()
    assert not phone.asks


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_simulated_phone_dials_back_and_on_to_the_end_in_every_language(
    place, supervisor, language
):
    place.add_plot("K12", STRANGER, language=language)
    page = next(
        address
        for address in re.findall(r'href="(/phones/\d+)"', supervisor.get("/phones").text)
        if "K12" in supervisor.get(address).text
    )
    words = place.house.papers.catalogue(language)

    def press(entry: str) -> str:
        supervisor.send(page, f"{page}/dial", entry=entry)
        return screen_of(supervisor.get(page).text)

    start = press("*707#")
    assert start.startswith(words.say("menu.start"))
    assert press("2").startswith(words.say("menu.news", plot="K12"))
    assert press("0") == start
    assert press("1").startswith(words.say("menu.side", plot="K12"))
    assert press("1").startswith(words.say("menu.cm-below", plot="K12"))
    assert press("7.5") == words.say("menu.sent", plot="K12", seen=words.say("level.below", cm=7.5))
    assert "The dialogue has ended" in supervisor.get(page).text
    place.settle()
    said, answer = supervisor.get(f"{page}/thread").json
    assert (said["mine"], answer["mine"]) == (True, False)
    assert said["text"] == f"K12 {words.say('keyword.below')} 7.5"
    assert answer["text"].startswith("K12")


def screen_of(page: str) -> str:
    return html.unescape(re.search(r'class="screen".*?class="said">(.*?)</bdi>', page, re.S)[1])
