"""Reads everything that files decide: rules, words and customs."""

from pathlib import Path

from gateway.advisory.papers import Papers, plain_forms, seal_words
from gateway.flowfiles.calendar import load_duties
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.customs import load_customs
from gateway.flowfiles.joining import load_joining
from gateway.flowfiles.letters import load_letters
from gateway.flowfiles.menu import load_menu
from gateway.flowfiles.rules import load_rulebook
from gateway.flowfiles.vocabulary import Vocabularies
from gateway.messages.letters import languages_among


def read_papers(flows: Path, locales: Path) -> Papers:
    """Everything that files decide. Raises FlowError with file, line and cure."""
    found = {code: seal_words(words) for code, words in load_catalogues(locales).items()}
    return Papers(
        rules=load_rulebook(flows),
        vocabularies=Vocabularies(flows),
        catalogues={language: found[language] for language in languages_among(found)},
        customs=load_customs(flows),
        duties=load_duties(flows),
        menu=load_menu(flows),
        joining=load_joining(flows),
        plain=plain_forms(found),
        letters=load_letters(flows),
    )
