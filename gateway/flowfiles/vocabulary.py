"""Reads flows/vocabulary: what the growers' words mean, language by language."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from gateway.flowfiles.accents import Accents
from gateway.flowfiles.phrasegraph import Node, Pattern, PhraseGraph, TwoMeanings, words_of
from gateway.flowfiles.reader import read_file
from gateway.flowfiles.scripts import SCRIPTS, Common, read_common
from gateway.flowfiles.vocabulary_draft import Draft
from gateway.flowfiles.vocabulary_words import WordFile
from gateway.messages.spellings import bare
from gateway.messages.vocabulary import Vocabulary, slip_targets


class Vocabularies(Mapping[str, Vocabulary]):
    """All of ``flows``/vocabulary, read when first asked for: most commands of an office hear no
    grower, and the words are most of what files say.
    """

    def __init__(self, flows: Path) -> None:
        self._flows = flows

    @cached_property
    def _read(self) -> dict[str, Vocabulary]:
        return load_vocabularies(self._flows)

    def __getitem__(self, language: str) -> Vocabulary:
        return self._read[language]

    def __iter__(self) -> Iterator[str]:
        return iter(self._read)

    def __len__(self) -> int:
        return len(self._read)


def load_vocabularies(flows: Path) -> dict[str, Vocabulary]:
    """All of ``flows``/vocabulary, by BCP 47 language. A mistake is a FlowError with its cure."""
    folder = flows / "vocabulary"
    common = read_common(read_file(folder / SCRIPTS))
    paths = {path.stem: path for path in sorted(folder.glob("*.yaml")) if path.name != SCRIPTS}
    found: dict[str, Vocabulary] = {}
    lent: dict[str, Draft] = {}
    for language, path in paths.items():
        # Words are many: only those that other languages lean on are kept longer than needed.
        own = lent.get(language) or _own_words(path, common)
        for other in _also(own, paths):
            lent[other] = lent.get(other) or _own_words(paths[other], common)
        found[language] = _vocabulary(language, [lent[o] for o in _also(own, paths)], own, common)
        for draft in lent.values():  # grown once, its phrases are known to agree
            draft.forget_places()
    return _knowing_each_other(found)


def _knowing_each_other(found: Mapping[str, Vocabulary]) -> dict[str, Vocabulary]:
    """Each language with the names that the others have for themselves: whoever reads none but a
    language that was added later must be able to ask for it in any other."""
    names = {
        word: language
        for language, vocabulary in found.items()
        for word, named in vocabulary.languages.items()
        if named == language
    }
    return {
        language: replace(vocabulary, languages={**names, **vocabulary.languages})
        for language, vocabulary in found.items()
    }


def _own_words(path: Path, common: Common) -> Draft:
    """The words of one file, whose text is not kept: it is large."""
    top = read_file(path)
    top.need("language").choice(path.stem)
    return WordFile(top, common.spelling).read()


def _also(own: Draft, paths: Mapping[str, Path]) -> list[str]:
    """The languages that are understood beside the one of this file."""
    for entry in own.also:
        if entry.text() not in paths:
            entry.fail(f"need a language that has a file here: {', '.join(paths)}")
    return [entry.text() for entry in own.also]


def _vocabulary(language: str, beside: list[Draft], own: Draft, common: Common) -> Vocabulary:
    every_script = common.patterns()
    draft = Draft(patterns=every_script)
    for other in beside:
        draft.lay(other)
    draft.forget(own.without)
    draft.lay(own)
    accents = Accents(draft)
    graph = PhraseGraph(accents.spellings)
    layers = [every_script, *(each.patterns for each in beside), own.unsaid(), own.patterns]
    phrases = _grown(graph, layers, accents)
    accents.spell_tables(graph, phrases)
    graph.prune(phrases)
    barred = _barred(draft, phrases)
    words = draft.words() | words_of(phrases)
    mine = [*every_script, *own.patterns]
    mine_too = accents.also({word for pattern in mine for word in pattern.words()})
    said = [
        (way, p.term)
        for p in mine
        if p.term is not None
        for phrase in p.single()
        for way in accents.ways(phrase)
    ]
    near = barred | (words - mine_too)
    return Vocabulary(
        language=language,
        phrases=phrases,
        skip=frozenset(draft.skip),
        units=draft.maps.get("units", {}),
        quantities=draft.maps.get("quantities", {}),
        months=draft.months,
        ordinal_ends=frozenset(draft.maps.get("ordinal_ends", {})),
        signs=draft.signs,
        numbers=draft.numbers,
        choices=draft.choices,
        whole=draft.whole,
        alone=draft.alone,
        leaving=_leaving(draft),
        idle=frozenset(draft.idle | draft.skip),
        pests=frozenset(draft.pests),
        join=frozenset(draft.maps.get("join", {})),
        language_words=frozenset(draft.maps.get("language_words", {})),
        languages=draft.maps.get("languages", {}),
        openers=frozenset(draft.maps.get("question_openers", {})),
        folding=common.folding,
        deepest_cm=common.deepest_cm,
        highest_cm=common.highest_cm,
        unspaced=common.unspaced,
        half_before=frozenset(draft.maps.get("half_before", {})),
        half_after=frozenset(draft.maps.get("half_after", {})),
        clock_before=frozenset(draft.maps.get("clock_before", {})),
        labels=frozenset(accents.also(draft.maps.get("labels", {}).keys())),
        beside_leaving=frozenset(draft.maps.get("beside_leaving", {})),
        month_days=frozenset(accents.also(draft.maps.get("month_days", {}).keys())),
        future_endings=own.future_endings,
        titles=frozenset(draft.maps.get("titles", {})),
        water=frozenset(accents.also(draft.maps.get("water", {}).keys())),
        plots=frozenset(accents.also(draft.maps.get("plots", {}).keys())),
        ground=frozenset(accents.also(draft.maps.get("ground", {}).keys())),
        planting=frozenset(draft.maps.get("planting", {})),
        letters=draft.letters,
        digit_letters=draft.digit_letters,
        lookalikes=common.lookalikes,
        bare=accents.bare,
        short=_short(draft, own),
        beginnings=own.beginnings,
        endings=own.endings,
        known=frozenset(words | barred | draft.choices.keys()),
        slips=slip_targets(said, frozenset(near)),
    )


def _grown(graph: PhraseGraph, layers: list[list[Pattern]], accents: Accents) -> Node:
    """The phrases of all layers; one that a file gives two meanings is a FlowError there."""
    try:
        return graph.grow(layers, accents.tables())
    except TwoMeanings as error:
        alike = [p for layer in layers for p in layer if p.term in error.terms]
        first, *further = [pattern for pattern in alike if pattern.says(error.phrase)]
        places = (p.place_of(error.phrase) for p in further if p.term != first.term)
        place = next(place for place in places if place is not None)
        name = first.term and (first.term.value or first.term.role)
        place.fail(f"{' '.join(error.phrase)!r} stands under {name} too, keep it in one place")


def _short(draft: Draft, own: Draft) -> dict[str, str]:
    """Short forms; one of a language beside it goes where this one has a word spelled so."""
    words = own.words() | own.skip
    words |= {bare(word) for word in words}
    return {
        form: full for form, full in draft.short.items() if form in own.short or form not in words
    }


def _leaving(draft: Draft) -> dict[str, str]:
    """Texts to leave or return by, without words idle in them; at least two words stay."""
    idle = draft.idle | draft.skip
    told = ((" ".join(w for w in t.split() if w not in idle), k) for t, k in draft.alone.items())
    return {text: kind for text, kind in told if " " in text}


def _barred(draft: Draft, phrases: Node) -> set[str]:
    """Words that no slip of the pen leads to."""
    tables: list[Mapping[str, object]] = [*draft.maps.values(), draft.numbers, draft.signs]
    barred = {word for table in tables for word in table} | draft.months.keys() | draft.skip
    barred |= {w for p in (*draft.alone, *draft.maps.get("languages", {})) for w in p.split()}
    return barred | {w for p in draft.whole for w in p.split() if "" not in phrases.get(w, {})}
