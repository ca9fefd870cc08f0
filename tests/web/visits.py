"""What tests of the pages do again and again."""

import re

from tests.houses import READER, TestHouse
from tests.web.conftest import SECRETS, Visitor

PAGES = [
    "/today",
    "/log",
    "/unclear",
    "/plots",
    "/plots/H07",
    "/blocks",
    "/cards?plot=H07",
    "/people",
    "/people/readers",
    "/phones",
    "/phones/1",
    "/account",
]
TOKEN = {"X-Carrier-Token": SECRETS["GATEWAY_SIMULATOR_TOKEN"]}


def texted(place: TestHouse, *bodies: str) -> None:
    for body in bodies:
        place.text(READER, body)


def phone_page(supervisor: Visitor) -> str:
    return re.search(r'href="(/phones/\d+)"', supervisor.get("/phones").text)[1]
