"""What a language's file of words does not have yet, told by name so that it can be added."""

from collections.abc import Iterator
from pathlib import Path

from gateway.flowfiles.reader import Entry, FlowError, read_file
from gateway.flowfiles.scripts import SCRIPTS

SOURCE = "en"
_GROUPS = ("words", "days", "quantities", "meanings", "weeds", "whole")
_LISTS = (
    *("skip", "units", "minus", "plus", "numbers", "choices"),
    *("join", "language_words", "languages", "question_openers"),
)
_COUNTED = {"weekdays": 7, "months": 12}
_SPELLED_OUT = range(21)


def missing_words(flows: Path) -> list[str]:
    """What the words of English have and another language's lack: ``path:line:column: cure``.

    A list that is there but empty says that the language has no such words.
    """
    folder = flows / "vocabulary"
    source = read_file(folder / f"{SOURCE}.yaml")
    tops = (read_file(path) for path in sorted(folder.glob("*.yaml")) if path.name != SCRIPTS)
    return [str(mistake) for top in tops for mistake in _missing(top, source)]


def _missing(top: Entry, source: Entry) -> Iterator[FlowError]:
    here, model = dict(top.items()), dict(source.items())
    for key in (*_GROUPS, *_LISTS, *_COUNTED):
        if key not in here:
            yield _mistake(top, f"the key {key} is missing here; {_shown(model[key])}")
        elif key in _GROUPS:
            yield from _missing_of(here[key], model[key])
        elif key in _COUNTED and len(here[key].list()) != _COUNTED[key]:
            yield _mistake(here[key], f"need {_COUNTED[key]} lists, got {len(here[key].list())}")
    if "numbers" in here:
        spelled = {entry.number() for _, entry in here["numbers"].items()}
        lacking = [str(number) for number in _SPELLED_OUT if number not in spelled]
        if lacking:
            yield _mistake(here["numbers"], f"no words for {', '.join(lacking)}")


def _missing_of(here: Entry, model: Entry) -> Iterator[FlowError]:
    own = {name for name, _ in here.items()}
    for name, entry in model.items():
        if name not in own:
            yield _mistake(here, f"{name} is missing; {_shown(entry)}")


def _shown(model: Entry) -> str:
    if not model.is_list():
        return f"{SOURCE} has it"
    words = [place.text() for place in model.list() if not place.is_list()][:4]
    return f"in {SOURCE} it is {', '.join(words)} ..." if words else f"{SOURCE} has it"


def _mistake(place: Entry, cure: str) -> FlowError:
    mark = place.node.start_mark
    words = f"{place.name}: {cure}" if place.name else cure
    return FlowError(place.path, mark.line + 1, mark.column + 1, words)
