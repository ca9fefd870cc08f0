"""A plugin of pytest that puts one mutation in place before any test is read.

``pytest -p tests.mutations.plugin`` with GATEWAY_TEST_MUTATION (its id; empty for none) and
GATEWAY_TEST_FALLEN (the file to which the node ids of the tests that fell are written).
"""

import os
from importlib import import_module
from pathlib import Path

import pytest

from tests.mutations.table import BY_ID

fallen: set[str] = set()


def put_in_place(target: str, by: object) -> None:
    """Replace ``module:name`` or ``module:Class.name``; what is not there raises AttributeError."""
    module, _, path = target.partition(":")
    *owners, name = path.split(".")
    owner: object = import_module(module)
    for step in owners:
        owner = getattr(owner, step)
    getattr(owner, name)
    setattr(owner, name, by)


# As this module is imported: the tests' own fixtures import the rooms soon after.
if wanted := os.environ["GATEWAY_TEST_MUTATION"]:
    put_in_place(BY_ID[wanted].target, BY_ID[wanted].by)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note each test that fell."""
    if report.failed:
        fallen.add(report.nodeid.partition("[")[0])


def pytest_sessionfinish() -> None:
    """Write down what fell."""
    Path(os.environ["GATEWAY_TEST_FALLEN"]).write_text("\n".join(sorted(fallen)), "utf-8")
