"""The papers of a scheme: rules, words and customs, read once from flows/ and locales/."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from gateway.advisory.customs import Customs
from gateway.advisory.dialogue import JoinPapers
from gateway.advisory.duties import DutyCalendar
from gateway.agronomy.rules import RuleBook
from gateway.messages.catalogue import Catalogue
from gateway.messages.letters import Letters, bare_code, languages_among, latin_code
from gateway.messages.menu import Menu
from gateway.messages.vocabulary import Vocabulary

FALLBACK = "en"


@dataclass(frozen=True, slots=True)
class Papers:
    """Everything that files decide. A language without its own file falls back to English.

    ``plain`` holds, by language, the form in plain letters where that is not the catalogue itself;
    ``letters`` what a language is sent in to phones that have not chosen, script where not named.
    """

    rules: RuleBook
    vocabularies: Mapping[str, Vocabulary]
    catalogues: Mapping[str, Catalogue]
    customs: Customs
    duties: DutyCalendar
    menu: Menu
    joining: JoinPapers
    plain: Mapping[str, Catalogue] = field(default_factory=dict)
    letters: Mapping[str, Letters] = field(default_factory=dict)

    def vocabulary(self, language: str) -> Vocabulary:
        """The words that a phone of that language is understood by."""
        return self.vocabularies.get(language) or self.vocabularies[FALLBACK]

    def catalogue(self, language: str, letters: Letters | None = None) -> Catalogue:
        """The words that a phone of that language is answered in, in its letters.

        ``language`` may also be the code that such a catalogue bears, as an old text has it.
        """
        chosen = letters or self.letters.get(language, "script")
        if chosen == "plain" and language in self.plain:
            return self.plain[language]
        own = self.catalogues.get(language)
        forms = (form for form in self.plain.values() if form.language == language)
        return own or next(forms, self.catalogues[FALLBACK])

    def drafted(self, language: str) -> bool:
        """Whether nobody has read aloud yet what a phone of that language may get in any letters.

        A language without words of its own counts as drafted: its phones get another's.
        """
        forms = [known[language] for known in (self.catalogues, self.plain) if language in known]
        return not forms or any(form.drafted for form in forms)


def seal_words(catalogue: Catalogue) -> Catalogue:
    """The catalogue under a digest of all its words, those lent by another language included.

    The words are kept in the store under it, so that a text can be given again in the very words
    of its day.
    """
    words = json.dumps(dict(sorted(catalogue.words.items())), ensure_ascii=False)
    return replace(catalogue, digest=hashlib.sha256(words.encode()).hexdigest())


def plain_forms(catalogues: Mapping[str, Catalogue]) -> dict[str, Catalogue]:
    """The forms in plain letters, by the language that they belong to.

    That is a catalogue in Latin letters where one stands beside the script, else the same words
    without marks; a catalogue that is plain itself needs none.
    """
    forms = {}
    for language in languages_among(catalogues):
        latin = catalogues.get(latin_code(language))
        if latin is not None:
            forms[language] = latin
        elif not catalogues[language].plain:
            forms[language] = replace(catalogues[language], language=bare_code(language))
    return forms


def unseal_words(language: str, digest: str, words: Mapping[str, str]) -> Catalogue:
    """The catalogue as it was, from the words kept under its digest."""
    return Catalogue(language, words, drafted=True, read_by=None, read_on=None, digest=digest)
