"""Papers read once a process and kept while their files stay as they are.

Most tests open a house of their own on the folders as shipped; to read nine catalogues and seven
vocabularies anew for each took longer than the tests. A file that is touched is read again.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from gateway import compose
from gateway.advisory.papers import Papers

MOST = 4
_KEPT: dict[object, Papers] = {}
_READ = compose.read_papers


def read_remembered(flows: Path, locales: Path) -> Papers:
    """What ``gateway.compose.read_papers`` gives."""
    state = (flows, locales, *_files(flows), *_files(locales))
    if state not in _KEPT:
        _KEPT[state] = _READ(flows, locales)
        for old in list(_KEPT)[:-MOST]:
            del _KEPT[old]
    return _KEPT[state]


def _files(folder: Path) -> Iterator[tuple[str, int, int]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            stat = path.stat()
            yield str(path), stat.st_mtime_ns, stat.st_size


@pytest.fixture(autouse=True, scope="session")
def remember_papers() -> Iterator[None]:
    """Every house of this process reads its papers so."""
    compose.read_papers = read_remembered
    yield
    compose.read_papers = _READ
