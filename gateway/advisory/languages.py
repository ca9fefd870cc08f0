"""Languages: what a scheme's growers can be answered in, and who has read it aloud."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from gateway.advisory.papers import Papers
from gateway.messages.catalogue import Catalogue
from gateway.messages.dates import language_name
from gateway.messages.letters import Letters
from gateway.messages.segments import count_segments
from gateway.messages.worst import longest_text


@dataclass(frozen=True, slots=True)
class LanguageLine:
    """One form of a language. ``usual``: what its phones get that have not chosen their letters.

    ``read_by`` and ``read_on`` are None while it is drafted; ``segments`` is what its dearest
    answer costs.
    """

    code: str
    name: str
    letters: Letters
    usual: bool
    texts: int
    segments: int
    read_by: str | None
    read_on: date | None

    @property
    def drafted(self) -> bool:
        """Whether nobody has read it aloud yet."""
        return self.read_by is None


def languages_of(papers: Papers) -> list[LanguageLine]:
    """Every form of every language, by name."""
    found = (line for language in papers.catalogues for line in _forms(papers, language))
    return sorted(found, key=lambda line: (line.name, line.letters))


def _forms(papers: Papers, language: str) -> Iterator[LanguageLine]:
    usual = papers.catalogue(language)
    own, plain = papers.catalogues[language], papers.plain.get(language)
    yield _line(own, language, "plain" if own.plain else "script", own is usual)
    if plain is not None:
        yield _line(plain, language, "plain", plain is usual)


def _line(form: Catalogue, language: str, letters: Letters, usual: bool) -> LanguageLine:
    answers = (name for name in form.words if name.startswith("answer."))
    dearest = max(count_segments(longest_text(form, name)).segments for name in answers)
    name = language_name(language)
    return LanguageLine(
        language, name, letters, usual, len(form.words), dearest, form.read_by, form.read_on
    )
