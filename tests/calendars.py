"""Calendars for tests: the shipped one, or only some of its duties, at the minute of the hour."""

import shutil
from pathlib import Path

import yaml

from gateway.settings import shipped


def calendar_of(folder: Path, *names: str, spread: int = 0, **changes: object) -> Path:
    """A flows folder whose calendar has only those duties (all where none is named).

    Their texts leave within ``spread`` minutes; ``changes`` are keys of the file's top.
    """
    flows = folder / "flows"
    if not flows.exists():
        shutil.copytree(shipped("flows"), flows)
    file = flows / "calendar.yaml"
    top = yaml.safe_load(file.read_text("utf-8")) | changes
    duties = {name: duty for name, duty in top["duties"].items() if not names or name in names}
    assert set(names) <= set(duties), names
    top["duties"] = {name: duty | {"spread": spread} for name, duty in duties.items()}
    file.write_text(yaml.safe_dump(top, allow_unicode=True, sort_keys=False), "utf-8")
    return flows
