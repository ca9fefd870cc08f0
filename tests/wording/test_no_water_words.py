"""Whoever has no water is told what to text, so that the keyword never reads as a shout."""

import re

import pytest

from gateway.flowfiles.catalogues import load_catalogues
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments
from gateway.messages.worst import longest_text
from gateway.settings import shipped

CATALOGUES = load_catalogues(shipped("locales"))
# The keyword and the verb before it. GSM 03.38: 160 septets in one text; English leaves ten free.
WAYS = {"en": ("NO WATER", r"[Tt]ext", 150), "id": ("TANPA AIR", r"[Bb]alas", 160)}
QUESTION = re.compile(r"(?:No water(?: to be had)?|None[^?.]*|Tiada[^?.]*|Belum)\? ([^?.:,]*)")


def advice_of(catalogue: Catalogue) -> dict[str, str]:
    return {name: words for name, words in catalogue.words.items() if name.startswith("answer.")}


@pytest.mark.parametrize("language", WAYS)
def test_the_question_of_no_water_is_answered_by_what_to_text(language: str) -> None:
    keyword, verb, _ = WAYS[language]
    whole = re.compile(rf"{verb} \{{plot\}} {keyword}$")
    asked = [
        (name, told.strip())
        for name, words in advice_of(CATALOGUES[language]).items()
        for told in QUESTION.findall(words)
        if keyword in words
    ]
    assert len(asked) > 20
    assert [one for one in asked if not whole.match(one[1])] == []


@pytest.mark.parametrize("language", WAYS)
def test_a_text_that_ends_with_the_keyword_names_the_plot_before_it(language: str) -> None:
    keyword = WAYS[language][0]
    ending = {n: w for n, w in advice_of(CATALOGUES[language]).items() if w.endswith(keyword)}
    assert ending
    assert [n for n, w in ending.items() if not w.endswith(f"{{plot}} {keyword}")] == []


@pytest.mark.parametrize("language", WAYS)
def test_saying_so_costs_no_second_segment(language: str) -> None:
    keyword, _, most = WAYS[language]
    catalogue = CATALOGUES[language]
    named = [n for n, words in advice_of(catalogue).items() if keyword in words]
    costs = {name: count_segments(longest_text(catalogue, name)) for name in named}
    assert {n: c.units for n, c in costs.items() if c.units > most or c.segments > 1} == {}


@pytest.mark.parametrize(("language", "said"), [("en", "soil is too dry"), ("id", "tanah")])
def test_a_plot_left_too_long_is_said_to_have_dry_soil(language: str, said: str) -> None:
    assert said in CATALOGUES[language].words["why.too-dry"]


@pytest.mark.parametrize(("language", "said"), [("en", "soil may dry"), ("id", "tanah")])
def test_the_usual_depth_is_that_of_the_drying_soil(language: str, said: str) -> None:
    assert said in CATALOGUES[language].words["why.raised-threshold-not-in-force"]
