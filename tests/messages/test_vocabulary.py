"""The files of words: what they must hold, and how a mistake in one is answered."""

import shutil
import unicodedata
from pathlib import Path

import pytest

from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Reading, Sender
from gateway.messages.interpret import interpret
from gateway.messages.slips import meant

_FLOWS = Path(__file__).resolve().parents[2] / "flows"
_ONE = Sender(("B07",))


def _copy(tmp_path: Path, file: str, old: str, new: str) -> Path:
    folder = tmp_path / "vocabulary"
    folder.mkdir()
    for name in ("en.yaml", "scripts.yaml"):
        shutil.copy(_FLOWS / "vocabulary" / name, folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("file", "old", "new", "cure"),
    [
        ("en.yaml", "\nskip: [", "\nskips: [", "skips: unknown key"),
        ("en.yaml", "  below: [below,", "  beneath: [below,", "beneath: need one of plain"),
        (
            "en.yaml",
            "  above: [above,",
            "  above: [below, above,",
            "'below' stands under below too",
        ),
        ("en.yaml", "dry <tube>,", "dry <tub>,", "no set 'tub' above; known: tube"),
        ("en.yaml", "  rain: [rain,", "  rains: [rain,", "rains: need one of flooded"),
        ("en.yaml", "  few: [few <weed>", "  some: [few <weed>", "some: need few or many"),
        ("en.yaml", "  cm: [cm,", "  cubit: [cm,", "cubit: need one of cm"),
        ("en.yaml", "two: 2,", "two: deux,", "two: need a number, got 'deux'"),
        ("en.yaml", "  more: [more,", "  most: [more,", "most: need one of flooded"),
        (
            "en.yaml",
            "language: en\n",
            "language: en\nalso: [xx]\n",
            "need a language that has a file",
        ),
        ("scripts.yaml", "০১২৩৪৫৬৭৮৯", "০১২৩৪৫৬৭৮", "digits: need the ten digits"),
        ("scripts.yaml", "০১২৩৪৫৬৭৮৯", "০১২৩৪৫৬৭৯৮", "digits: need the ten digits"),
        ("scripts.yaml", "deepest_cm: -40", "deepest_cm: 40", "deepest_cm: need at most 0"),
        ("scripts.yaml", "    below: [নিচে", "    bottom: [নিচে", "bottom: unknown key"),
    ],
)
def test_a_mistake_in_the_words_is_answered_with_its_place_and_cure(
    tmp_path: Path, file: str, old: str, new: str, cure: str
) -> None:
    flows = _copy(tmp_path, file, old, new)
    with pytest.raises(FlowError) as error:
        load_vocabularies(flows)
    assert error.value.path.name == file
    assert cure in error.value.words
    line = error.value.path.read_text(encoding="utf-8").splitlines()[error.value.line - 1]
    assert line.strip()


def test_a_word_added_to_the_file_is_understood(tmp_path: Path) -> None:
    before = load_vocabularies(_FLOWS)["en"]
    assert interpret("B07 12 nether", _ONE, before).outcome == "ask"
    flows = _copy(tmp_path, "en.yaml", "  below: [below,", "  below: [nether, below,")
    after = load_vocabularies(flows)["en"]
    assert interpret("B07 12 nether", _ONE, after).readings == (Reading("B07", -12.0),)


def test_how_far_a_level_may_lie_is_read_from_the_file(tmp_path: Path) -> None:
    assert interpret("B07 -45", _ONE, load_vocabularies(_FLOWS)["en"]).outcome == "ask"
    flows = _copy(tmp_path, "scripts.yaml", "deepest_cm: -40", "deepest_cm: -50")
    assert interpret("B07 -45", _ONE, load_vocabularies(flows)["en"]).outcome == "accept"


def test_a_language_is_added_by_a_file_and_may_lean_on_another(tmp_path: Path) -> None:
    """Spanish stands in here for any language to come."""
    flows = _copy(tmp_path, "en.yaml", "language: en", "language: en")
    words = "language: es\nalso: [en]\nskip: [el, la]\nwords:\n  below: [debajo, bajo]\n"
    (flows / "vocabulary" / "es.yaml").write_text(words, encoding="utf-8")
    vocabularies = load_vocabularies(flows)
    assert set(vocabularies) == {"en", "es"}
    for text in ("B07 12 debajo", "B07 12 below"):
        assert interpret(text, _ONE, vocabularies["es"]).readings == (Reading("B07", -12.0),)
    assert interpret("B07 12 debajo", _ONE, vocabularies["en"]).outcome == "ask"


def test_every_digit_of_the_scripts_is_a_decimal_digit_of_unicode() -> None:
    folding = load_vocabularies(_FLOWS)["en"].folding
    digits = {chr(point): digit for point, digit in folding.items() if digit.isdigit()}
    assert len(digits) >= 80
    for written, digit in digits.items():
        assert unicodedata.decimal(written) == int(digit)


def test_every_minus_sign_of_the_file_is_a_minus() -> None:
    vocabulary = load_vocabularies(_FLOWS)["en"]
    for point, sign in vocabulary.folding.items():
        if sign == "-":
            heard = interpret(f"B07 {chr(point)}12", _ONE, vocabulary)
            assert heard.readings == (Reading("B07", -12.0),), hex(point)


@pytest.mark.parametrize(
    ("slip", "word"),
    [
        ("belwo", "below"),
        ("abvoe", "above"),
        ("floodde", "flooded"),
        ("floded", "floded"),
        ("fertlizer", "fertilizer"),
        ("harvsted", "harvested"),
        ("needs", "needs"),
        ("seeds", "seeds"),
        ("weeks", "weeks"),
        ("floor", "floor"),
        ("blow", "blow"),
        ("train", "train"),
        ("stopt", "stopt"),
        ("leaves", "leaves"),
        ("having", "having"),
        ("staying", "staying"),
        ("flowing", "flowing"),
        ("pending", "pending"),
        ("remaining", "remaining"),
        ("withered", "withered"),
        ("tweve", "tweve"),
    ],
)
def test_a_slip_is_mended_only_where_one_word_can_be_meant(slip: str, word: str) -> None:
    assert meant(slip, load_vocabularies(_FLOWS)["en"]) == word
