"""The server that the tests start for themselves."""

import os
import pwd
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psycopg
import pytest

from tests import postgres
from tests.databases import HAS_POSTGRES, SERVER


def try_it() -> None:
    """Start a server, ask it something, and see that it is gone afterwards."""
    with postgres.running() as address:
        home = address.partition("host=")[2]
        with psycopg.connect(host=home, user="gateway", dbname="postgres") as conn:
            assert conn.execute("SELECT lower('ÉTÉ')").fetchone() == ("été",)
    assert not Path(home).exists()


def as_a_plain_user() -> int:
    """Do it in a child process without root's rights; gives the child's exit code."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    try:
        who = pwd.getpwnam(postgres.PLAIN_USER)
        os.setgroups([])
        os.setgid(who.pw_gid)
        os.setuid(who.pw_uid)
        try_it()
        os._exit(0)
    finally:
        os._exit(1)


OUTLIVED = """
import os, signal
from tests import postgres
with postgres.running() as address:
    print(address, flush=True)
    os.kill(os.getpid(), signal.SIGKILL)
"""

if HAS_POSTGRES and not SERVER:

    def test_the_server_starts_for_root_and_for_a_plain_user(
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:
        try_it()
        if os.getuid() == 0:
            with tempfile.TemporaryDirectory(dir="/tmp") as place:
                reachable = postgres._make_reachable(Path(place), postgres.PLAIN_USER)
                monkeypatch.setattr(postgres, "installed", lambda: reachable)
                assert as_a_plain_user() == 0

    def test_the_server_ends_when_the_tests_are_killed() -> None:
        killed = subprocess.run(
            [sys.executable, "-c", OUTLIVED], capture_output=True, text=True, check=False
        )
        home = killed.stdout.strip().partition("host=")[2]
        assert Path(home, "data").exists(), killed.stderr
        wait_until_gone(home)


def wait_until_gone(home: str) -> None:
    """Wait until the server has taken its own mark away, then clear its place."""
    for _ in range(200):
        if not Path(home, "data", "postmaster.pid").exists():
            shutil.rmtree(home, ignore_errors=True)
            return
        time.sleep(0.05)
    raise AssertionError("the server outlived the tests that started it")
