"""A real house with an invented plot behind the pages, and people who may sign in."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from gateway.advisory.enrol import add_office_user
from gateway.store.migrate import migrate
from tests.houses import READER, TestHouse, open_test_house

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
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty database of this version, to copy: migrating anew for each test takes long."""
    file = tmp_path_factory.mktemp("migrated") / "house.db"
    migrate(f"sqlite:///{file}")
    return file


@pytest.fixture
def place(tmp_path: Path, migrated: Path) -> Iterator[TestHouse]:
    """A house with plot H07, read by one phone, and one user of each role."""
    kept = tmp_path / "kept"
    kept.mkdir()
    shutil.copy(migrated, kept)
    place = open_test_house(f"sqlite:///{kept / 'house.db'}")
    place.house.environment = SECRETS
    place.house.settings.carriers = "simulator,example-http"
    place.add_plot("H07", READER)
    for name, role in (("maro", "officer"), ("sela", "supervisor"), ("tiko", "administrator")):
        add_office_user(place.house.store, place.clock, place.scheme_id, name, role, PASSWORD)
    yield place
    place.house.store.close()


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
