"""A language is added by adding its two files, and what is missing of it is named."""

import shutil
from pathlib import Path

import pytest

from gateway.chores import mistakes_in
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.letters import check_names, check_pairs
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    """Copies of flows/ and locales/ with an eighth language: English words under another name."""
    flows, locales = tmp_path / "flows", tmp_path / "locales"
    shutil.copytree(ROOT / "flows", flows)
    shutil.copytree(ROOT / "locales", locales, ignore=shutil.ignore_patterns("*.mo"))
    po = (locales / "en/LC_MESSAGES/gateway.po").read_text("utf-8")
    po = po.replace("Language: en", "Language: mg").replace('msgstr "English"', 'msgstr "Malagasy"')
    po = po.replace("\nmsgid ", "\n# same as English\nmsgid ")
    (locales / "mg/LC_MESSAGES").mkdir(parents=True)
    (locales / "mg/LC_MESSAGES/gateway.po").write_text(po, "utf-8")
    words = (flows / "vocabulary/en.yaml").read_text("utf-8")
    words = words.replace("language: en", "language: mg", 1)
    words = words.replace("\nlanguages:\n", "\nlanguages:\n  mg: [malagasy]\n", 1)
    (flows / "vocabulary/mg.yaml").write_text(words, "utf-8")
    return flows, locales


def test_two_files_are_enough_and_every_language_hears_the_new_one_s_name(
    folders: tuple[Path, Path],
) -> None:
    flows, locales = folders
    assert mistakes_in(flows, locales) == []
    for code, vocabulary in load_vocabularies(flows).items():
        (meaning,) = interpret("Malagasy", Sender((), language=code), vocabulary).meanings
        assert (meaning.kind, meaning.value) == ("language", "mg"), code


def test_each_half_without_the_other_is_missed(folders: tuple[Path, Path]) -> None:
    flows, locales = folders
    assert check_pairs(flows, locales) == []
    (flows / "vocabulary/mg.yaml").rename(flows / "mg.yaml")
    (found,) = check_pairs(flows, locales)
    assert "vocabulary/mg.yaml:1:1 is missing: locales has texts in mg" in found
    (flows / "mg.yaml").rename(flows / "vocabulary/mg.yaml")
    shutil.rmtree(locales / "mg")
    (found,) = check_pairs(flows, locales)
    assert "locales/mg/LC_MESSAGES/gateway.po:1:1 is missing: flows/vocabulary hears mg" in found


def test_a_name_that_its_own_words_do_not_know_is_named(folders: tuple[Path, Path]) -> None:
    flows, locales = folders
    po = locales / "mg/LC_MESSAGES/gateway.po"
    po.write_text(po.read_text("utf-8").replace('"Malagasy"', '"Teny Gasy"'), "utf-8")
    found = check_names(flows, load_vocabularies(flows), load_catalogues(locales))
    assert [one.partition("mg.yaml:1:1 ")[2] for one in found] == [
        "languages: does not know mg by its name Teny Gasy"
    ]
