"""A house of real parts for the tests of the use cases."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.houses import READER, TestHouse, open_test_house


@pytest.fixture
def home(tmp_path: Path) -> Iterator[TestHouse]:
    """A house with plot H07, in tillering, read by one phone."""
    opened = open_test_house(f"sqlite:///{tmp_path}/gateway.db")
    opened.add_plot("H07", READER)
    yield opened
    opened.house.store.close()
