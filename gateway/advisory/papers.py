"""The papers of a scheme: rules, words and customs, read once from flows/ and locales/."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace

from gateway.advisory.customs import Customs
from gateway.advisory.duties import DutyCalendar
from gateway.agronomy.rules import RuleBook
from gateway.messages.catalogue import Catalogue
from gateway.messages.menu import Menu
from gateway.messages.vocabulary import Vocabulary

FALLBACK = "en"


@dataclass(frozen=True, slots=True)
class Papers:
    """Everything that files decide. A language without its own file falls back to English."""

    rules: RuleBook
    vocabularies: Mapping[str, Vocabulary]
    catalogues: Mapping[str, Catalogue]
    customs: Customs
    duties: DutyCalendar
    menu: Menu

    def vocabulary(self, language: str) -> Vocabulary:
        """The words that a phone of that language is understood by."""
        return self.vocabularies.get(language) or self.vocabularies[FALLBACK]

    def catalogue(self, language: str) -> Catalogue:
        """The words that a phone of that language is answered in."""
        return self.catalogues.get(language) or self.catalogues[FALLBACK]


def seal_words(catalogue: Catalogue) -> Catalogue:
    """The catalogue under a digest of all its words, those lent by another language included.

    The words are kept in the store under it, so that a text can be given again in the very words
    of its day.
    """
    words = json.dumps(dict(sorted(catalogue.words.items())), ensure_ascii=False)
    return replace(catalogue, digest=hashlib.sha256(words.encode()).hexdigest())


def unseal_words(language: str, digest: str, words: Mapping[str, str]) -> Catalogue:
    """The catalogue as it was, from the words kept under its digest."""
    return Catalogue(language, words, drafted=True, read_by=None, read_on=None, digest=digest)
