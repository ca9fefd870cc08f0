"""An office begins: scheme, sheets, plan, weather and water, by the commands as installed."""

from pathlib import Path

import pytest

from tests.house.serving import run, settings

SCHEME = ["scheme", "add", "LOW", "--name", "Lower Reach", "--short-name", "Lower Reach"]
PLACE = ["--zone", "Asia/Manila", "--language", "en", "--region", "PH"]


@pytest.fixture
def environment(sqlite_url: str) -> dict[str, str]:
    """The settings of an office whose store is migrated and empty."""
    return settings(sqlite_url)


def test_a_scheme_is_added_once(environment: dict[str, str]) -> None:
    done = run(environment, *SCHEME, *PLACE)
    assert (done.returncode, "scheme LOW is on record" in done.stdout) == (0, True), done.stderr
    again = run(environment, *SCHEME, *PLACE)
    assert again.returncode == 1
    assert "scheme LOW is on record already" in again.stderr


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--zone", "Asia/Manilla"], "near it: Asia/Manila"),
        (["--zone", "Asia"], "zone: need a time zone such as"),
        (["--zone", "../etc/passwd"], "zone: need a time zone such as"),
        (["--language", "xx"], "language: need one that has a catalogue: en, id"),
        (["--region", "ph"], "region: need two letters of ISO 3166"),
        (["--short-name", "The Lower Reach Office"], "need at most 12 characters"),
        (["--name", " "], "name: need a name"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_a_scheme_that_cannot_be_served_is_refused_with_the_cure(
    environment: dict[str, str], more: list[str], said: str
) -> None:
    done = run(environment, *SCHEME, *PLACE, *more)
    assert (done.returncode, said in done.stderr) == (1, True), done.stderr
    assert run(environment, *SCHEME, *PLACE).returncode == 0


def test_a_store_that_was_not_migrated_is_said(tmp_path: Path) -> None:
    done = run(settings(f"sqlite:///{tmp_path}/empty.db"), *SCHEME, *PLACE)
    assert (done.returncode, "gateway migrate" in done.stderr) == (1, True)
