"""Every mutation is killed by the tests that it names; without it they hold, as the suite shows."""

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.mutations.table import MUTATIONS, Mutation

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Ran:
    """A run of tests: what fell, how it ended, what it said."""

    fallen: frozenset[str]
    code: int
    said: str


def run(mutation: Mutation, fallen: Path) -> Ran:
    """Run the tests that it names in a process of their own, with the mutation in place."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "tests.mutations.plugin"]
    command += ["-p", "no:xdist", "-p", "no:cacheprovider", "-W", "ignore", "--tb=line"]
    ran = subprocess.run(
        # Half of the store's tests run on a server that takes long to start: one database will do.
        [*command, "-k", "not postgresql", *mutation.tests],
        cwd=ROOT,
        env=os.environ | {"GATEWAY_TEST_MUTATION": mutation.id, "GATEWAY_TEST_FALLEN": str(fallen)},
        capture_output=True,
        text=True,
        timeout=300,
    )
    names = fallen.read_text("utf-8").split("\n") if fallen.exists() else []
    return Ran(frozenset(names), ran.returncode, ran.stdout + ran.stderr)


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda mutation: mutation.id)
def test_a_mutation_is_killed_by_each_test_that_it_names(
    mutation: Mutation, tmp_path: Path
) -> None:
    ran = run(mutation, tmp_path / "fallen")
    assert ran.code == 1, ran.said
    survived = [test for test in mutation.tests if test not in ran.fallen]
    assert not survived, f"{mutation.id} survives {survived}\n{ran.said}"


def test_each_core_function_that_the_office_relies_on_has_its_mutation() -> None:
    assert {mutation.about for mutation in MUTATIONS} == {
        "decision table",
        "segment count",
        "consent",
        "lease",
        "deduplication",
        "stage calendar",
        "calendar",
        "at the door",
        "broadcasts",
    }
