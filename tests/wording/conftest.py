"""The shipped catalogues, and advice made up for the tests."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from gateway.agronomy.advice import Action, Advice, Band, Detail, Stage
from gateway.flowfiles.catalogues import load_catalogues
from gateway.messages.catalogue import Catalogue

ROOT = Path(__file__).parents[2]
LOCALES, FLOWS = ROOT / "locales", ROOT / "flows"
AS_OF = date(2026, 3, 9)

MakeAdvice = Callable[..., Advice]


@pytest.fixture(scope="session")
def catalogues() -> dict[str, Catalogue]:
    return load_catalogues(LOCALES)


@pytest.fixture(scope="session")
def english(catalogues: dict[str, Catalogue]) -> Catalogue:
    return catalogues["en"]


@pytest.fixture(scope="session")
def indonesian(catalogues: dict[str, Catalogue]) -> Catalogue:
    return catalogues["id"]


@pytest.fixture(scope="session")
def advice() -> MakeAdvice:
    """An advice on H07 as of Mon 9 Mar 2026, read 12 cm below; what differs is given."""
    usual = Detail(
        seen_cm=-12,
        act_by=date(2026, 3, 10),
        keep_until=date(2026, 3, 21),
        harvest_on=date(2026, 4, 9),
        threshold_cm=-15,
    )

    def make(
        action: Action,
        stage: Stage = "tillering",
        *reasons: str,
        level: float = -12,
        **detail: object,
    ) -> Advice:
        return Advice(
            "H07",
            AS_OF,
            stage,
            action,
            reasons,
            level_cm=Band(level - 1, level, level + 1),
            next_reading_on=date(2026, 3, 12),
            flood_to_cm=5,
            detail=replace(usual, **{"seen_cm": level, **detail}),
        )

    return make
