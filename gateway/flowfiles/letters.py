"""flows/letters.yaml: the letters that each language is sent in where a phone has not chosen."""

from collections.abc import Collection
from pathlib import Path
from typing import cast

from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.letters import CHOICES, Letters

FILE = "letters.yaml"


def load_letters(flows: Path) -> dict[str, Letters]:
    """Letters by language (BCP 47). Raises FlowError with file, line and cure."""
    return {
        language: cast(Letters, entry.choice(*CHOICES))
        for language, entry in _entries(flows).items()
    }


def check_letters(flows: Path, languages: Collection[str]) -> list[str]:
    """What the letters and the words to hear lack of the ``languages``: file, line and cure."""
    heard = (flows / "vocabulary" / f"{language}.yaml" for language in languages)
    mistakes = [
        f"{path}:1:1 is missing: locales has texts in {path.stem}, so what is texted back in it "
        "must be understood; copy another language's file"
        for path in heard
        if not path.exists()
    ]
    for language, entry in _entries(flows).items():
        if language not in languages:
            mark = entry.node.start_mark
            place = f"{entry.path}:{mark.line + 1}:{mark.column + 1}"
            known = ", ".join(sorted(languages))
            mistakes.append(f"{place} {language}: need a language of locales: {known}")
    return mistakes


def _entries(flows: Path) -> dict[str, Entry]:
    top = read_file(flows / FILE)
    top.keys("letters")
    return dict(top.need("letters").items())
