"""A real house with an invented plot behind the pages, and people who may sign in."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from gateway.advisory.enrol import add_office_user
from gateway.compose import House
from gateway.store.migrate import migrate
from gateway.trial.clock import MovedClock
from tests.houses import MORNING, READER, TestHouse, open_test_house

PASSWORD = "a password for tests"
SECRETS = {
    "GATEWAY_SIMULATOR_TOKEN": "token-of-the-simulator",
    "GATEWAY_EXAMPLE_HTTP_SECRET": "secret-of-the-link",
    "GATEWAY_EXAMPLE_HTTP_TOKEN": "token-of-the-link",
}
FORM = re.compile(r'name="form" value="([^"]+)"')


@dataclass
class Visitor:
    """A browser without a window: keeps its cookies, and sends forms as pages give them."""

    client: FlaskClient
    seen: list[str] = field(default_factory=list)

    def get(self, address: str, **given: Any) -> TestResponse:
        answer = self.client.get(address, **given)
        self.seen.append(answer.text)
        return answer

    def form_of(self, address: str) -> str:
        found = FORM.search(self.client.get(address).text)
        assert found, f"no form on {address}"
        return found[1]

    def send(self, page: str, to: str, **values: Any) -> TestResponse:
        """Send a form of ``page`` to the address ``to``."""
        answer = self.client.post(to, data={"form": self.form_of(page), **values})
        self.seen.append(answer.text)
        return answer

    def sign_in(self, name: str, password: str = PASSWORD) -> "Visitor":
        answer = self.send("/sign-in", "/sign-in", name=name, password=password)
        assert answer.status_code == 302, answer.text
        return self


@pytest.fixture(scope="session")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> TestHouse:
    """A house to copy: plot H07, read by one phone, and one user of each role.

    Migrating, reading all papers and hashing passwords anew for each test would take long.
    """
    url = f"sqlite:///{tmp_path_factory.mktemp('pattern') / 'house.db'}"
    migrate(url)
    pattern = open_test_house(url)
    pattern.house.settings.carriers = "simulator,example-http"
    pattern.add_plot("H07", READER)
    for name, role in (("maro", "officer"), ("sela", "supervisor"), ("tiko", "administrator")):
        add_office_user(pattern.house.store, pattern.clock, pattern.scheme_id, name, role, PASSWORD)
    assert pattern.house.papers
    pattern.house.store.close()
    return pattern


@pytest.fixture
def place(tmp_path: Path, pattern: TestHouse) -> Iterator[TestHouse]:
    """A copy of that house, with a clock of its own."""
    kept = tmp_path / "kept"
    kept.mkdir()
    file = pattern.house.settings.database_url.removeprefix("sqlite:///")
    url = f"sqlite:///{shutil.copy(file, kept)}"
    clock = MovedClock(MORNING)
    house = House(pattern.house.settings.model_copy(update={"database_url": url}), clock, SECRETS)
    house.papers = pattern.house.papers
    yield replace(pattern, house=house, clock=clock, phones=dict(pattern.phones))
    house.store.close()


@pytest.fixture
def visitor(place: TestHouse) -> Visitor:
    """Somebody who is not signed in."""
    return Visitor(place.house.app.test_client())


@pytest.fixture
def officer(place: TestHouse) -> Visitor:
    return Visitor(place.house.app.test_client()).sign_in("maro")


@pytest.fixture
def supervisor(place: TestHouse) -> Visitor:
    return Visitor(place.house.app.test_client()).sign_in("sela")
