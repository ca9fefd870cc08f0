"""flows/joining.yaml becomes the dialogue of joining and the customs of consent."""

from collections.abc import Iterator, Mapping
from datetime import timedelta
from pathlib import Path
from typing import cast, get_args

from gateway.advisory.dialogue import (
    NEEDED,
    Asks,
    ConsentRules,
    HolderTexts,
    JoinPapers,
    JoinStep,
)
from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.vocabulary import Vocabulary
from gateway.messages.worst import LONGEST_PRICE

FILE = "joining.yaml"
ENDS = ("waiting", "declined", "by_person", "lapsed", "confirmed", "refused")
HOLDER = ("ask", "no", "told", "replaced")


def load_joining(flows: Path) -> JoinPapers:
    """The dialogue in ``flows/joining.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / FILE)
    top.keys(
        "scheme_words",
        "price_of_a_text",
        "steps",
        "unclear",
        "most_misses",
        "ends",
        "waits_hours",
        "kept_days",
        "begun_a_day",
        "holder",
        "consent",
    )
    ends = top.need("ends")
    ends.keys(*ENDS)
    return JoinPapers(
        scheme_words={code: _words(entry) for code, entry in top.need("scheme_words").items()},
        price=_price(top),
        steps=_steps(top.need("steps")),
        unclear=top.need("unclear").text(),
        most_misses=top.need("most_misses").whole(1, 20),
        ends={name: ends.need(name).text() for name in ENDS},
        waits=timedelta(hours=top.need("waits_hours").whole(1, 720, "hours")),
        kept=timedelta(days=top.need("kept_days").whole(1, 90, "days")),
        begun_a_day=top.need("begun_a_day").whole(0, 100_000),
        holder=_holder(top.need("holder")),
        consent=_consent(top.need("consent")),
    )


def check_joining(
    flows: Path, vocabularies: Mapping[str, Vocabulary], catalogues: Mapping[str, Catalogue]
) -> list[str]:
    """Texts that a language lacks, and words of schemes that mean something already."""
    top = read_file(flows / FILE)
    found = [
        _mistake(entry, f"no such text in {language}: {entry.text()}")
        for entry in _texts_named(top)
        for language, catalogue in catalogues.items()
        if not catalogue.has(entry.text())
    ]
    for _code, listed in top.need("scheme_words").items():
        for entry in listed.list():
            found += [
                _mistake(entry, f"means {meant} in {language} already; take another word")
                for language, vocabulary in vocabularies.items()
                if (meant := _meant(entry.text(), vocabulary))
            ]
    return found


def _meant(word: str, vocabulary: Vocabulary) -> str:
    heard = interpret(word, Sender(()), vocabulary)
    kinds = [m.kind for m in heard.meanings if m.kind not in ("join", "person")]
    return ", ".join(kinds) or ("a level" if heard.readings else "")


def _mistake(entry: Entry, cure: str) -> str:
    mark = entry.node.start_mark
    return f"{entry.path}:{mark.line + 1}:{mark.column + 1} {entry.name}: {cure}"


def _texts_named(top: Entry) -> Iterator[Entry]:
    for step in top.need("steps").list():
        yield step.need("text")
        if (other := step.get("without_price")) is not None:
            yield other
    yield top.need("unclear")
    yield from (top.need("ends").need(name) for name in ENDS)
    yield from (top.need("holder").need(name) for name in HOLDER)
    yield from (top.need("consent").need(name) for name in ("ask", "given"))


def _words(entry: Entry) -> tuple[str, ...]:
    words = []
    for one in entry.list():
        word = one.text().strip()
        if not word.isalpha() or not 3 <= len(word) <= 20:
            one.fail(f"need one word of 3 to 20 letters, got {one.text()!r}")
        words.append(word.casefold())
    return tuple(words)


def _price(top: Entry) -> str | None:
    entry = top.get("price_of_a_text")
    if entry is None:
        return None
    price = " ".join(entry.text().split())
    if len(price) > LONGEST_PRICE:
        entry.fail(f"need at most {LONGEST_PRICE} characters for the text to fit, got {len(price)}")
    return price


def _steps(entry: Entry) -> tuple[JoinStep, ...]:
    steps = tuple(_step(one) for one in entry.list())
    asked = [step.asks for step in steps]
    for asks in NEEDED:
        if asks not in asked:
            entry.fail(f"nothing asks for {asks}; it is needed")
    for place, one in enumerate(entry.list()):
        if asked[place] in asked[:place]:
            one.need("asks").fail(f"{asked[place]} is asked for twice, keep one")
    if asked[0] != "consent":
        entry.list()[0].need("asks").fail("need consent first: nothing else may be asked before")
    return steps


def _step(entry: Entry) -> JoinStep:
    entry.keys("asks", "text", "without_price")
    asks = cast(Asks, entry.need("asks").choice(*get_args(Asks)))
    other = entry.get("without_price")
    if asks == "consent" and other is None:
        entry.fail("the key without_price is missing here: the text while no price is known")
    if asks != "consent" and other is not None:
        other.fail("only the question for consent names a price")
    return JoinStep(asks, entry.need("text").text(), other.text() if other else None)


def _holder(entry: Entry) -> HolderTexts:
    entry.keys("valid_hours", *HOLDER)
    hours = entry.need("valid_hours").whole(1, 168, "hours")
    texts = {name: entry.need(name).text() for name in HOLDER}
    return HolderTexts(timedelta(hours=hours), **texts)


def _consent(entry: Entry) -> ConsentRules:
    entry.keys("silent_days", "ask", "given", "look_again_hours", "no_subscriber")
    return ConsentRules(
        silent=timedelta(days=entry.need("silent_days").whole(7, 3650, "days")),
        ask=entry.need("ask").text(),
        given=entry.need("given").text(),
        look_again=timedelta(hours=entry.need("look_again_hours").whole(1, 72, "hours")),
        no_subscriber=tuple(_part(one) for one in entry.need("no_subscriber").list()),
    )


def _part(entry: Entry) -> str:
    part = entry.text().strip()
    return part if len(part) >= 4 else entry.fail("need 4 letters or more, or it fits too much")
