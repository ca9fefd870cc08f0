"""The colours of the pages against WCAG 2.1, success criterion 1.4.3: contrast of 4.5 to 1."""

import re
from pathlib import Path

import pytest

import gateway.web

CSS = (Path(gateway.web.__file__).parent / "static" / "office.css").read_text(encoding="utf-8")
COLOURS = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", CSS))


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb. Source: WCAG 2.1, definition of relative luminance."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_extremes():
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("ground", ["paper", "sheet", "wash"])
@pytest.mark.parametrize("ink", ["ink", "soft", "link", "rust"])
def test_every_ink_is_legible_on_every_ground(ink, ground):
    assert contrast(COLOURS[ink], COLOURS[ground]) >= 4.5


def test_nothing_is_fetched_from_elsewhere():
    assert not re.search(r"@import|url\(", CSS)
