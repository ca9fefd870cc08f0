"""Names and words that a database may choke on, at every way in, on each kind of database."""

import json
from collections.abc import Iterator

import pytest

from gateway.advisory.enrol import add_office_user
from tests.houses import READER, TestHouse, open_test_house
from tests.web.conftest import PASSWORD, SECRETS, Visitor

ROUGH = ["\x00", "H07\x00", "\ud800", "\U0001f33e", "%00", "'", "\\", "%", "_", "\u202e"]
TOKEN = {"X-Carrier-Token": SECRETS["GATEWAY_SIMULATOR_TOKEN"]}


@pytest.fixture
def anywhere(database_url: str) -> Iterator[TestHouse]:
    """A house on each kind of database in turn."""
    place = open_test_house(database_url)
    place.house.environment = SECRETS
    place.add_plot("H07", READER)
    add_office_user(place.house.store, place.clock, place.scheme_id, "sela", "supervisor", PASSWORD)
    yield place
    place.house.store.close()


def test_rough_words_bring_no_page_down(anywhere):
    visitor = Visitor(anywhere.house.app.test_client()).sign_in("sela")
    pages = [
        ("/log", ("plot", "words", "from", "to", "outcome", "state", "way", "page")),
        ("/unclear", ("heap", "page")),
        ("/plots", ("block", "stage", "action", "page")),
        ("/phones", ("find",)),
    ]
    for rough in ROUGH:
        for page, keys in pages:
            answer = visitor.client.get(page, query_string=dict.fromkeys(keys, rough_bytes(rough)))
            assert answer.status_code in (200, 404), (page, ascii(rough))
        answer = visitor.client.get("/plots/" + quoted(rough))
        assert answer.status_code in (404, 308), ascii(rough)


def test_rough_names_and_passwords_are_only_wrong(anywhere):
    visitor = Visitor(anywhere.house.app.test_client())
    form = visitor.form_of("/sign-in")
    for rough in ROUGH:
        data = {"form": form, "name": rough_bytes(rough), "password": rough_bytes(rough)}
        assert visitor.client.post("/sign-in", data=data).status_code == 403, ascii(rough)


def test_rough_texts_are_all_kept(anywhere):
    client = anywhere.house.app.test_client()
    for number, rough in enumerate(ROUGH):
        body = {"from": READER.reveal(), "text": rough, "id": f"{number} {rough}"}
        answer = client.post("/carrier/simulator/text", data=json.dumps(body), headers=TOKEN)
        assert answer.status_code == 200, ascii(rough)
    visitor = Visitor(anywhere.house.app.test_client()).sign_in("sela")
    assert f"{len(ROUGH)} lines" in visitor.get("/log").text


def rough_bytes(rough: str) -> str:
    """As a browser would send it: half a surrogate pair becomes the replacement mark."""
    return rough.encode("utf-8", "replace").decode()


def quoted(rough: str) -> str:
    return "".join(f"%{byte:02X}" for byte in rough.encode("utf-8", "replace"))
