"""A real Chromium before a real server. Where there is no Chromium, these tests are left out."""

import shutil
import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from werkzeug.serving import make_server

from tests.houses import TestHouse
from tests.web.conftest import PASSWORD

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
collect_ignore_glob = [] if CHROMIUM else ["test_*.py"]


def pytest_terminal_summary(terminalreporter: Any) -> None:
    if not CHROMIUM:
        terminalreporter.write_line("no chromium was found: the browser tests were left out")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        yield browser
        browser.close()


@pytest.fixture
def address(place: TestHouse) -> Iterator[str]:
    """The house, served on loopback."""
    server = make_server("127.0.0.1", 0, place.house.app, threaded=True)
    serving = threading.Thread(target=server.serve_forever)
    serving.start()
    yield f"http://127.0.0.1:{server.port}"
    server.shutdown()
    serving.join()
    server.server_close()


@pytest.fixture
def open_page(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Opens a window in which the supervisor is signed in; its complaints fail the test."""
    contexts, complaints = [], []

    def opened(width: int = 1280, scripts: bool = True) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": 860},
            java_script_enabled=scripts,
            base_url=address,
        )
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: complaints.append(said.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("dialog", lambda dialog: complaints.append(dialog.message))
        page.goto("/sign-in")
        page.fill("#name", "sela")
        page.fill("#password", PASSWORD)
        page.click("button[type=submit]")
        page.wait_for_url("**/log")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []
