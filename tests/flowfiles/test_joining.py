"""A mistake in flows/joining.yaml is answered with its place and a cure."""

import re
from pathlib import Path

import pytest

from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.joining import check_joining, load_joining
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.settings import shipped

SHIPPED = shipped("flows") / "joining.yaml"


def changed(folder: Path, was: str, now: str) -> Path:
    text = SHIPPED.read_text("utf-8")
    assert was in text
    (folder / "joining.yaml").write_text(text.replace(was, now, 1), "utf-8")
    return folder


@pytest.mark.parametrize(
    ("was", "now", "cure"),
    [
        ("asks: consent", "asks: height", "need one of consent, name"),
        ("  - {asks: name, text: join.name}\n", "", "nothing asks for name"),
        ("asks: reads", "asks: plot", "asked for twice"),
        (", without_price: join.consent.unpriced", "", "without_price is missing"),
        ("silent_days: 90", "silent_days: 2", "need at least 7"),
        ("price_of_a_text:", "price_of_a_text: more than sixteen letters", "at most 16"),
        ("scheme_words: {}", "scheme_words: {TRY: [A1]}", "3 to 20 letters"),
        ("waits_hours: 24", "waits: 24", "unknown key"),
    ],
)
def test_a_mistake_is_told_with_file_line_and_cure(
    tmp_path: Path, was: str, now: str, cure: str
) -> None:
    with pytest.raises(FlowError, match=cure) as told:
        load_joining(changed(tmp_path, was, now))
    assert re.match(r".*joining\.yaml:\d+:\d+ ", str(told.value))


def test_a_word_that_means_something_already_is_no_word_of_a_scheme(tmp_path: Path) -> None:
    flows = changed(tmp_path, "scheme_words: {}", "scheme_words: {TRY: [stop, fieldword]}")
    vocabularies = load_vocabularies(shipped("flows"))
    (mistake,) = check_joining(flows, {"en": vocabularies["en"]}, {})
    assert "means leave in en already" in mistake


def test_a_text_that_a_language_lacks_is_named(tmp_path: Path) -> None:
    flows = changed(tmp_path, "text: join.name}", "text: join.nowhere}")
    catalogues = {"en": load_catalogues(shipped("locales"))["en"]}
    (mistake,) = check_joining(flows, {}, catalogues)
    assert "no such text in en: join.nowhere" in mistake
