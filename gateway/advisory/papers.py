"""The papers of a scheme: rules, words and customs, read once from flows/ and locales/."""

from collections.abc import Mapping
from dataclasses import dataclass

from gateway.advisory.customs import Customs, DutyCalendar
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
