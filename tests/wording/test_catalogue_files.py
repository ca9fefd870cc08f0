"""Reading catalogues: compiled ones only when of the same text, mistakes with their line."""

import importlib.util
import shutil
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest

from gateway.flowfiles.catalogues import (
    DIGEST,
    catalogue_from_text,
    load_catalogues,
    read_catalogue,
)
from gateway.flowfiles.reader import FlowError

ROOT = Path(__file__).parents[2]


@pytest.fixture
def locales(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "locales", tmp_path / "locales", ignore=shutil.ignore_patterns("*.mo"))
    return tmp_path / "locales"


@pytest.fixture(scope="module")
def compiler() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "compile_catalogues", ROOT / "deploy" / "compile_catalogues.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def po(locales: Path, language: str) -> Path:
    return locales / language / "LC_MESSAGES" / "gateway.po"


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_shipped_catalogues_are_drafts_and_say_so(locales: Path) -> None:
    found = load_catalogues(locales)
    assert set(found) >= {"en", "id"}
    assert all(one.drafted and one.read_by is None for one in found.values())


def test_a_catalogue_read_aloud_names_the_reader_and_the_day(locales: Path) -> None:
    edit(po(locales, "id"), "X-Read-Aloud: not yet", "X-Read-Aloud: by M. Reader on 2026-02-03")
    read = load_catalogues(locales)["id"]
    assert (read.drafted, read.read_by, read.read_on) == (False, "M. Reader", date(2026, 2, 3))


def test_a_compiled_catalogue_says_what_its_text_says(locales: Path, compiler: ModuleType) -> None:
    plain = load_catalogues(locales)
    made = compiler.compile_folder(locales)
    assert [path.suffix for path in made] == [".mo"] * len(plain)
    assert load_catalogues(locales) == plain


def test_a_compiled_catalogue_is_really_used(locales: Path, compiler: ModuleType) -> None:
    path = po(locales, "en")
    compiler.compile_folder(locales)
    compiled = path.with_suffix(".mo")
    compiled.write_bytes(compiled.read_bytes().replace(b"No water?", b"No WATER?"))
    assert "No WATER?" in read_catalogue(path).words["answer.irrigate"]


def test_a_compiled_catalogue_of_an_older_text_is_not_used(
    locales: Path, compiler: ModuleType
) -> None:
    compiler.compile_folder(locales)
    edit(po(locales, "en"), "tube DRY", "tube is DRY")
    assert load_catalogues(locales)["en"].say("level.dry") == "tube is DRY"


def test_a_broken_compiled_catalogue_is_not_used(locales: Path) -> None:
    po(locales, "en").with_suffix(".mo").write_bytes(b"not a catalogue")
    assert load_catalogues(locales)["en"].say("level.dry") == "tube DRY"


def test_compiling_the_same_text_twice_gives_the_same_file(
    locales: Path, compiler: ModuleType
) -> None:
    first = [path.read_bytes() for path in compiler.compile_folder(locales)]
    assert [path.read_bytes() for path in compiler.compile_folder(locales)] == first
    assert compiler.DIGEST == DIGEST


def test_a_word_that_a_language_lacks_comes_in_english(locales: Path) -> None:
    edit(po(locales, "id"), 'msgstr "pipa KERING"', 'msgstr ""')
    assert load_catalogues(locales)["id"].say("level.dry") == "tube DRY"


def test_a_fuzzy_word_comes_in_english(locales: Path) -> None:
    edit(po(locales, "id"), 'msgid "level.dry"', '#, fuzzy\nmsgid "level.dry"')
    assert load_catalogues(locales)["id"].say("level.dry") == "tube DRY"


def test_a_catalogue_is_rebuilt_from_its_kept_text(locales: Path) -> None:
    now = load_catalogues(locales)["id"]
    again = catalogue_from_text("id", po(locales, "id").read_text(encoding="utf-8"))
    assert again == now


def test_any_edit_changes_the_digest(locales: Path) -> None:
    before = load_catalogues(locales)["en"].digest
    edit(po(locales, "en"), "tube DRY", "tube is DRY")
    assert load_catalogues(locales)["en"].digest != before


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        pytest.param("Language: id", "Language: fil", r":8:1 Language: need id", id="folder"),
        pytest.param("not yet\\n", "yes\\n", r"need 'not yet' or 'by NAME on", id="read aloud"),
        pytest.param("not yet\\n", "by A on 2026-13-01\\n", "by NAME on YYYY", id="no such day"),
        pytest.param('msgstr "pipa', 'pipa "', "not a gettext entry", id="keyword"),
    ],
)
def test_a_mistake_is_answered_with_file_line_and_cure(
    locales: Path, old: str, new: str, words: str
) -> None:
    path = po(locales, "id")
    header = '"Language: id\\n"'
    line = path.read_text(encoding="utf-8").splitlines().index(header) + 1
    edit(path, old, new)
    with pytest.raises(FlowError, match=words.replace(":8:", f":{line}:")) as caught:
        load_catalogues(locales)
    assert str(caught.value).startswith(f"{path}:")


def test_a_folder_without_english_is_a_mistake(tmp_path: Path) -> None:
    with pytest.raises(FlowError, match="the catalogue of en is missing"):
        load_catalogues(tmp_path)
