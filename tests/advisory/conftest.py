"""A house of real parts for the tests of the use cases."""

from collections.abc import Iterator

import pytest

from tests.houses import READER, TestHouse, open_test_house


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A house with plot H07, in tillering, read by one phone; on each kind of database in turn."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER)
    yield opened
    opened.close()
