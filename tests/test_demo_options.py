"""What ./demo/run says before it makes anything: its options, and what is wrong with them."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def run_demo(*options: str) -> subprocess.CompletedProcess[str]:
    """The demo with options that end it at once."""
    return subprocess.run(
        ["bash", "demo/run", *options], cwd=ROOT, capture_output=True, text=True, timeout=30
    )


def test_help_names_every_option() -> None:
    said = run_demo("--help")
    assert said.returncode == 0
    assert "--port N" in said.stdout
    assert "--keep" in said.stdout


@pytest.mark.parametrize(
    ("options", "cure"),
    [
        (("--porter",), "Unknown option --porter. Known: --port N, --keep."),
        (("--port",), "--port needs a number after it."),
        (("--port", "many"), "--port needs a number from 1 to 65535, got many."),
        (("--port", "70000"), "--port needs a number from 1 to 65535, got 70000."),
        (("--port=0",), "--port needs a number from 1 to 65535, got 0."),
    ],
)
def test_a_wrong_option_is_told_plainly(options: tuple[str, ...], cure: str) -> None:
    said = run_demo(*options)
    assert said.returncode == 1
    assert said.stderr.strip() == cure
