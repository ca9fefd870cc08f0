"""flows/letters.yaml: the letters that each language is sent in where a phone has not chosen.

Beside it, what a language needs in flows/ and locales/ together.
"""

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import cast

from gateway.flowfiles.reader import Entry, read_file
from gateway.flowfiles.scripts import SCRIPTS
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.letters import CHOICES, Letters, languages_among
from gateway.messages.menunow import LANGUAGE
from gateway.messages.vocabulary import Vocabulary

FILE = "letters.yaml"


def load_letters(flows: Path) -> dict[str, Letters]:
    """Letters by language (BCP 47). Raises FlowError with file, line and cure."""
    return {
        language: cast(Letters, entry.choice(*CHOICES))
        for language, entry in _entries(flows).items()
    }


def check_pairs(flows: Path, locales: Path) -> list[str]:
    """Languages that have texts but no words to hear, or words but no texts: file and cure."""
    folders = (path.parent.parent.name for path in locales.glob("*/LC_MESSAGES/gateway.po"))
    spoken = languages_among(folder.replace("_", "-") for folder in sorted(folders))
    heard = sorted(path.stem for path in (flows / "vocabulary").glob("*.yaml"))
    unheard = [flows / "vocabulary" / f"{one}.yaml" for one in spoken if one not in heard]
    unspoken = [one for one in heard if one not in spoken and f"{one}.yaml" != SCRIPTS]
    return [
        f"{path}:1:1 is missing: locales has texts in {path.stem}, so what is texted back in it "
        "must be understood; copy another language's file"
        for path in unheard
    ] + [
        f"{locales / one / 'LC_MESSAGES' / 'gateway.po'}:1:1 is missing: {flows.name}/vocabulary "
        f"hears {one}, so it must be answered; copy another language's file"
        for one in unspoken
    ]


def check_letters(flows: Path, languages: Collection[str]) -> list[str]:
    """Letters for languages that are not there: file, line and cure."""
    mistakes = []
    for language, entry in _entries(flows).items():
        if language not in languages:
            mark = entry.node.start_mark
            place = f"{entry.path}:{mark.line + 1}:{mark.column + 1}"
            known = ", ".join(sorted(languages))
            mistakes.append(f"{place} {language}: need a language of locales: {known}")
    return mistakes


def check_names(
    flows: Path, vocabularies: Mapping[str, Vocabulary], catalogues: Mapping[str, Catalogue]
) -> list[str]:
    """Languages that do not know their own name, by which a phone chooses them: file and cure."""
    found = []
    for code, catalogue in catalogues.items():
        language = code if code in vocabularies else code.partition("-")[0]
        heard = interpret(catalogue.say(LANGUAGE), Sender(()), vocabularies[language])
        if [meaning.value for meaning in heard.meanings] != [language]:
            path = flows / "vocabulary" / f"{language}.yaml"
            name = catalogue.say(LANGUAGE)
            found.append(f"{path}:1:1 languages: does not know {language} by its name {name}")
    return found


def _entries(flows: Path) -> dict[str, Entry]:
    top = read_file(flows / FILE)
    top.keys("letters")
    return dict(top.need("letters").items())
