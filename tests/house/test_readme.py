"""The README says what is so: its settings, commands, files and pictures."""

import json
import re
import subprocess
from pathlib import Path

import pytest

from gateway.cli import main
from gateway.settings import Settings
from tests.house.serving import GATEWAY

CHECKOUT = Path(__file__).resolve().parents[2]
README = (CHECKOUT / "README.md").read_text("utf-8")


def test_the_table_of_settings_is_that_of_the_program() -> None:
    rows = re.findall(r"^\| `GATEWAY_([A-Z_]+)` \| (.+?) \| (.+) \|$", README, re.MULTILINE)
    shown = {name.lower(): (default, meaning) for name, default, meaning in rows}
    assert set(shown) == set(Settings.model_fields)
    for name, field in Settings.model_fields.items():
        default, meaning = shown[name]
        assert meaning == field.description
        assert (default == "needed") == field.is_required()


@pytest.mark.parametrize("command", sorted(set(re.findall(r"^gateway ([a-z-]+)", README, re.M))))
def test_every_command_that_is_named_is_there(command: str) -> None:
    assert command in main.commands


def test_every_file_and_picture_that_is_named_is_there() -> None:
    named = set(re.findall(r"\]\(([^):]+)\)", README))
    named |= set(
        re.findall(r"(?<![\w./-])((?:demo|tests|flows|locales|deploy|gateway)/[\w./-]*\w)", README)
    )
    missing = [name for name in sorted(named) if not (CHECKOUT / name).exists()]
    assert missing == []


def test_the_pipes_of_the_readme_answer() -> None:
    block = README.split("prints their JSON Schemas.")[1].split("```")[1]
    done = subprocess.run(
        ["bash", "-c", block],
        env={"PATH": f"{Path(GATEWAY).parent}:/usr/bin:/bin"},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    understood, advised = (json.loads(line) for line in done.stdout.splitlines())
    assert understood["readings"][0]["level_cm"] == -12
    assert advised["action"] == "reflood"


def test_the_developers_guide_names_what_is_there() -> None:
    guide = (CHECKOUT / "DEVELOPERS.md").read_text("utf-8")
    named = re.findall(r"`((?:flows|locales|deploy|tests)/[\w./-]*\w)`", guide)
    assert [name for name in named if not (CHECKOUT / name).exists()] == []
