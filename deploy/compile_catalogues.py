"""Compiles the growers' words: every locales/*/LC_MESSAGES/gateway.po to a .mo beside it.

As a build hook it runs before each build, so that the wheel carries both. As a script
(``python deploy/compile_catalogues.py``) it does the same in a checkout. A compiled file says from
which text it came (the entry ``catalogue.digest``); one of another text is never used, so it does
no harm that compiled files are never committed and may be old.
"""

import hashlib
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from hatchling.builders.hooks.plugin.interface import BuildHookInterface

DIGEST = "catalogue.digest"
SAME_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""Babel stamps a compiled file with the day; a fixed one makes the same text the same file."""


class CompileCatalogues(BuildHookInterface):
    """Compiles before the files of a build are gathered."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile in place: the wheel takes the whole folder in, an editable one reads it there."""
        compile_folder(Path(self.root) / "locales")


def compile_folder(locales: Path) -> list[Path]:
    """Compile each catalogue of a folder. Returns the compiled files."""
    return [compile_file(path) for path in sorted(locales.glob("*/LC_MESSAGES/gateway.po"))]


def compile_file(path: Path) -> Path:
    """Compile one catalogue to the .mo beside it."""
    text = path.read_text(encoding="utf-8")
    catalogue = read_po(BytesIO(text.encode()), charset="utf-8", abort_invalid=True)
    catalogue.creation_date = catalogue.revision_date = SAME_DAY
    catalogue.add(DIGEST, hashlib.sha256(text.encode()).hexdigest())
    compiled = path.with_suffix(".mo")
    with compiled.open("wb") as file:
        write_mo(file, catalogue)
    return compiled


if __name__ == "__main__":
    for made in compile_folder(Path(__file__).parent.parent / "locales"):
        print(f"compiled {made}")
