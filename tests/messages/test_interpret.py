"""Interpretation as a whole: it never raises, it stays linear, and its two ways agree."""

import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Heard, Meaning, Pending, Reading, Sender
from gateway.messages.interpret import interpret, interpret_slowly

_ENGLISH = load_vocabularies(Path(__file__).resolve().parents[2] / "flows")["en"]
_TWO = Sender(("B07", "K12"))
_ONE = Sender(("B07",))
_WORDS = [
    *("B07", "K12", "Z99", "below", "above", "dry", "not", "wrong", "sorry", "no", "both", "all"),
    *("flooded", "rain", "urea", "rim", "stick", "12", "-12", "+3", "15,5", "1,500", "10-12"),
    *("cm", "mm", "in", "to", "or", "yesterday", "Monday", "12/03", "?", ".", ",", "\n", "-", "+"),
    *("stop", "leave", "plot", "if", "will", "نیچے", "๑๒", "ใต้", "\u202e", "\u200d", "½", "²"),
]


def _senders() -> st.SearchStrategy[Sender]:
    level = st.sampled_from([-15.0, 15.0, 0.0])
    pending = st.builds(
        Pending,
        st.sampled_from(["B07", "Q1", None]),
        st.lists(st.one_of(level, st.sampled_from(["B07", "K12"])), max_size=3).map(tuple),
        st.sampled_from(["sign", "plot", "number"]),
        st.one_of(st.none(), level),
        st.booleans(),
    )
    return st.builds(
        Sender,
        st.lists(st.sampled_from(["B07", "K12", "7", "A-3-14", "É", ""]), max_size=3).map(tuple),
        reads=st.sampled_from([(), (("B07", "rim"),)]),
        rim_cm=st.sampled_from([(), (("B07", 20.0),)]),
        unsigned=st.sampled_from(["ask", "below"]),
        pending=st.one_of(st.none(), pending),
    )


def _is_sound(heard: Heard, sender: Sender) -> None:
    """What holds for every answer, whatever was written."""
    known: set[object] = {*sender.plots, None}
    if sender.pending and not sender.plots:
        known |= {sender.pending.plot, *sender.pending.candidates}
    assert all(reading.plot in known for reading in heard.readings)
    assert all(meaning.plot in known for meaning in heard.meanings)
    assert all(ask.plot in known for ask in heard.ask)
    for reading in heard.readings:
        assert reading.dry is (reading.level_cm is None)
        if reading.level_cm is not None:
            assert _ENGLISH.deepest_cm <= reading.level_cm <= _ENGLISH.highest_cm
    assert (heard.outcome == "ask") is bool(heard.ask)
    assert (heard.outcome == "accept") <= bool(heard.readings or heard.meanings)
    assert (heard.outcome == "reject") <= (not heard.readings and not heard.meanings)


@settings(deadline=None, max_examples=400)
@given(text=st.text(), sender=_senders())
def test_any_text_at_all_has_a_sound_answer(text: str, sender: Sender) -> None:
    _is_sound(interpret(text, sender, _ENGLISH), sender)


@settings(deadline=None, max_examples=800)
@given(
    words=st.lists(st.sampled_from(_WORDS), max_size=9),
    glue=st.sampled_from(["", " "]),
    sender=_senders(),
    today=st.sampled_from([None, date(2026, 2, 14)]),
)
def test_any_heap_of_known_words_has_a_sound_answer(
    words: list[str], glue: str, sender: Sender, today: date | None
) -> None:
    _is_sound(interpret(glue.join(words), sender, _ENGLISH, today), sender)


@settings(deadline=None, max_examples=60)
@given(code=st.sampled_from(["B07", "K12"]), level=st.integers(-999, 999), tenth=st.integers(0, 9))
def test_the_short_way_and_the_long_way_agree(code: str, level: int, tenth: int) -> None:
    numbers = (f"{level:+}", f"{level:+}.{tenth}", f"{level}", f"{abs(level)}.{tenth}")
    words = ("below", "ABOVE", "down", "deep", "dry", "Dry", "under", "at")
    tails = (*numbers, *words, *(f"{n} {w}" for n in numbers for w in words))
    for tail in (*tails, *(f"{w} {n}" for n in numbers for w in words)):
        for sender in (_TWO, replace(_TWO, plots=(code,))):
            for text in (f"{code} {tail}", tail):
                _agree(text, sender)


def _agree(text: str, sender: Sender) -> None:
    short, long = interpret(text, sender, _ENGLISH), interpret_slowly(text, sender, _ENGLISH)
    found = (short.outcome, short.readings, short.meanings, short.ask, short.flags)
    assert found == (long.outcome, long.readings, long.meanings, long.ask, long.flags), text


@pytest.mark.parametrize(
    "piece",
    [
        *(
            "a ",
            "1 ",
            "-",
            "?",
            "1, ",
            "-1-1",
            "B07 -12 ",
            "B07, ",
            "B07 and ",
            "B07 12 below K12 ",
        ),
        *("B07 K12 ", "B07 K12 dry ", "both B07 K12 ", "0 urea ", "no, 5 ", "flooded now 5. "),
        *("not 5 ", "12 below ", "fell 5 ", "sorry -3 ", "flooded, ", "no water in ", "Z9, "),
        *(
            "when, ",
            "will, ",
            "dry, ",
            "yesterday -3, ",
            "is ",
            "no the ",
            "no=",
            "twenty ",
            "٣ فوق ",
        ),
    ],
)
def test_work_grows_no_faster_than_the_text(piece: str) -> None:
    """Calls, counted by the profile hook of Python, at n and 8n: at most 12 times as many."""
    small, large = (_calls((piece * n)[:n]) for n in (500, 4_000))
    assert large <= 12 * small


@pytest.mark.parametrize("piece", ["-1 ", "dry ", "5 irrigate ", "flooded "])
def test_a_plan_at_the_end_is_looked_for_once(piece: str) -> None:
    """What stands before the word of a plan depends on it, so the word comes last here."""
    small, large = (_calls((piece * n)[:n] + " irrigate tomorrow") for n in (500, 4_000))
    assert large <= 12 * small


def _calls(text: str) -> int:
    interpret(text, _TWO, _ENGLISH)  # what is kept between texts is kept now
    count = 0

    def counted(_frame: object, event: str, _arg: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        interpret(text, _TWO, _ENGLISH)
    finally:
        sys.setprofile(before)
    return count


@pytest.mark.parametrize("piece", ["x", "7", "-1 ", "B07 12 below ", "\u202e", "no ", "\x00", "é."])
def test_ten_thousand_characters_are_answered(piece: str) -> None:
    _is_sound(interpret((piece * 10_000)[:10_000], _TWO, _ENGLISH), _TWO)


@pytest.mark.parametrize(
    "slip", ["stpo", "sto", "stopp", "leav", "laeve", "leve", "unsubscrib", "quitt"]
)
def test_no_slip_of_the_pen_ever_leaves(slip: str) -> None:
    heard = interpret(slip, _ONE, _ENGLISH)
    assert heard.outcome == "ask"
    assert not heard.meanings


@pytest.mark.parametrize("slip", ["worng", "wron", "wrongg", "incorect"])
def test_no_slip_of_the_pen_ever_undoes_a_report(slip: str) -> None:
    assert interpret(slip, _ONE, _ENGLISH).meanings == ()


@pytest.mark.parametrize(
    "slip", ["twelv below", "fiften below", "-1O", "-l5", "-I5", "l5 below", "B07 -1o"]
)
def test_no_slip_of_the_pen_ever_becomes_a_number(slip: str) -> None:
    heard = interpret(slip, _ONE, _ENGLISH)
    assert heard.outcome == "ask"
    assert not heard.readings


@pytest.mark.parametrize(
    "text",
    [
        *("stop the water?", "stop?", "stop the water", "stop irrigation", "B07 stop", "stop B07"),
        *("can i stop", "i want to leave", "leave the water in", "don't stop", "leave it as it is"),
        *("stop 5", "when to stop", "stop, B07 -12", "the pump stop"),
    ],
)
def test_a_stop_word_among_others_never_leaves(text: str) -> None:
    kinds = {meaning.kind for meaning in interpret(text, _ONE, _ENGLISH).meanings}
    assert "leave" not in kinds


@pytest.mark.parametrize(
    "text", ["STOP", "stop.", " Stop ", "please stop", "\u200bSTOP\u202c", "ＳＴＯＰ"]
)
def test_a_stop_word_alone_always_leaves(text: str) -> None:
    asked = Sender(("B07",), pending=Pending("B07", (-15.0, 15.0)))
    for sender in (_ONE, asked, Sender(())):
        assert interpret(text, sender, _ENGLISH).meanings == (Meaning("leave"),)


@pytest.mark.parametrize(
    "control", [chr(c) for c in (0x202A, 0x202E, 0x2066, 0x200B, 0x2060, 0xFEFF)]
)
def test_a_character_that_cannot_be_seen_changes_nothing(control: str) -> None:
    """Bidirectional controls (UAX 9) and zero-width characters (Unicode 23.2)."""
    plain = interpret_slowly("B07 -12", _TWO, _ENGLISH)
    for k in range(len("B07 -12") + 1):
        text = "B07 -12"[:k] + control + "B07 -12"[k:]
        assert interpret(text, _TWO, _ENGLISH).readings == plain.readings


@pytest.mark.parametrize(
    "digits",
    [
        *("০১২৩৪৫৬৭৮৯", "०१२३४५६७८९", "٠١٢٣٤٥٦٧٨٩", "๐๑๒๓๔๕๖๗๘๙", "០១២៣៤៥៦៧៨៩"),
        *("၀၁၂၃၄၅၆၇၈၉", "໐໑໒໓໔໕໖໗໘໙", "０１２３４５６７８９", "۰۱۲۳۴۵۶۷۸۹"),
    ],
)
def test_digits_of_every_known_script_read_as_python_reads_them(digits: str) -> None:
    """int() reads the decimal digits of the Unicode Character Database (category Nd)."""
    for number in ("12", "39", "8"):
        written = "".join(digits[int(digit)] for digit in number)
        level = -float(int(written))
        heard = interpret(f"B07 -{written}", _TWO, _ENGLISH)
        assert heard.readings == (Reading("B07", level),)


@pytest.mark.parametrize(
    ("below", "above", "surface"),
    [
        ("১২ নিচে", "৩ উপরে", "সমান"),
        ("१२ नीचे", "३ ऊपर", "बराबर"),
        ("١٢ تحت", "٣ فوق", "سطح"),
        ("ต่ำกว่า ๑๒", "เหนือ ๓", "ผิวดิน"),
        ("ក្រោម ១២", "លើ ៣", "ស្មើដី"),
        ("အောက် ၁၂", "အပေါ် ၃", "မြေညီ"),
        ("ໃຕ້ ໑໒", "ເທິງ ໓", "ໜ້າດິນ"),
    ],
    ids=["bangla", "devanagari", "arabic", "thai", "khmer", "burmese", "lao"],
)
def test_each_script_with_digits_has_its_words_for_where(
    below: str, above: str, surface: str
) -> None:
    levels = [interpret(t, _ONE, _ENGLISH).readings[0].level_cm for t in (below, above, surface)]
    assert levels == [-12.0, 3.0, 0.0]


@pytest.mark.parametrize("plot", ["Z99", "z 99", "H0715", "Q-7", "K12"])
def test_a_plot_that_the_sender_does_not_read_is_neither_stored_nor_named(plot: str) -> None:
    for rest in ("-12", "12 below", "dry", "flooded", "urea 20 kg"):
        heard = interpret(f"{plot} {rest}", _ONE, _ENGLISH)
        assert heard.outcome == "ask"
        assert not heard.readings
        assert [ask.candidates for ask in heard.ask if ask.about == "plot"] == [("B07",)]
        assert plot not in repr(heard)


@settings(deadline=None, max_examples=300)
@given(
    strange=st.from_regex(r"[A-Z]{1,2}[ -]?[0-9]{2,3}", fullmatch=True),
    own=st.sampled_from(["B07", "K12"]),
    order=st.sampled_from(
        ["{0} {2} {1} {3}", "{1} {3} {0} {2}", "{0} {1} {2}", "both {0} {1} {2}"]
    ),
    said=st.sampled_from(["-12", "12 below", "dry", "flooded", "urea 20 kg", "not dry", "0"]),
)
def test_a_strange_plot_beside_an_own_one_gives_nothing_away(
    strange: str, own: str, order: str, said: str
) -> None:
    """Its code comes back nowhere, and a level stands for the own plot or for none."""
    assume(not {"B07", "K12"} & {strange.replace(" ", "").replace("-", "")})
    heard = interpret(order.format(strange, own, said, "-3"), _TWO, _ENGLISH)
    _is_sound(heard, _TWO)
    assert strange not in repr(heard)
    assert {reading.level_cm for reading in heard.readings if reading.plot != own} == set()


@pytest.mark.parametrize(
    "statement", ["flooded", "dry", "no water", "urea", "sprayed", "heads out"]
)
@pytest.mark.parametrize("plots", ["B07 K12", "B07, K12", "B07 and K12", "both B07 K12", "K12 B07"])
@pytest.mark.parametrize("order", ["{0} {1}", "{1} {0}"])
def test_words_beside_two_plots_are_said_of_both(plots: str, statement: str, order: str) -> None:
    heard = interpret(order.format(plots, statement), _TWO, _ENGLISH)
    assert heard.outcome == "accept"
    assert {part.plot for part in (*heard.readings, *heard.meanings)} == {"B07", "K12"}


@pytest.mark.parametrize("level", ["-12", "12 below", "12", "0", "12 flooded"])
def test_a_number_beside_two_plots_is_taken_of_neither(level: str) -> None:
    heard = interpret(f"B07 K12 {level}", _TWO, _ENGLISH)
    assert [(ask.plot, ask.about) for ask in heard.ask] == [("B07", "number"), ("K12", "number")]
    assert not heard.readings
    assert not heard.meanings


@pytest.mark.parametrize(
    "text", ["0 urea", "B07 0 weeds", "i have 0 urea", "my balance is 0", "call 000", "0 rain B07"]
)
def test_a_nought_that_may_count_something_else_is_no_level_and_no_report(text: str) -> None:
    heard = interpret(text, _ONE, _ENGLISH)
    assert not heard.readings
    assert {meaning.kind for meaning in heard.meanings} <= {"person"}


@pytest.mark.parametrize("plan", ["irrigate tomorrow", "will irrigate", "flood tomorrow"])
def test_a_number_before_a_plan_is_asked_about_and_not_lost(plan: str) -> None:
    heard = interpret(f"B07 12 {plan}", _ONE, _ENGLISH)
    assert [(ask.about, ask.candidates) for ask in heard.ask] == [("sign", (-12.0, 12.0))]
    assert {meaning.kind for meaning in heard.meanings} <= {"person"}
    assert interpret(f"B07 -12 {plan}", _ONE, _ENGLISH).readings == (Reading("B07", -12.0),)


@pytest.mark.parametrize(
    "word", ["having", "staying", "remaining", "watched", "flowing", "pending", "refused", "saying"]
)
def test_a_common_word_is_no_slip_of_a_report(word: str) -> None:
    """Found by trying the words of other people's prose, by number of occurrences."""
    heard = interpret(f"B07 -12 {word}", _ONE, _ENGLISH)
    assert heard.readings == (Reading("B07", -12.0),)
    assert not heard.meanings


def test_inches_are_2_54_cm_by_definition() -> None:
    """International inch of 1959: 25.4 mm exactly."""
    assert interpret("B07 -4 inch", _ONE, _ENGLISH).readings == (Reading("B07", -10.16),)
