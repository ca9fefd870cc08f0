"""Reads the catalogues of locales/: gettext files, one a language, that an officer can edit."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from babel.messages.mofile import read_mo

from gateway.flowfiles.catalogue_checks import check_catalogues
from gateway.flowfiles.po import PoText, digest_of, parse_po, read_text, words_of
from gateway.flowfiles.reader import FlowError
from gateway.messages.catalogue import Catalogue
from gateway.messages.dates import locale_of

__all__ = ["catalogue_from_text", "check_catalogues", "load_catalogues", "read_catalogue"]

SOURCE = "en"
"""The language whose catalogue says which messages there are, and lends words that are missing."""

DIGEST = "catalogue.digest"
"""The entry of a compiled catalogue that says from which text it was compiled."""


def load_catalogues(locales: Path) -> dict[str, Catalogue]:
    """All catalogues of a folder by language (BCP 47); compiled ones where they are up to date.

    A message that a language lacks, or marks fuzzy, comes in the words of the source, English.
    Raises FlowError.
    """
    found = [read_catalogue(path) for path in sorted(locales.glob("*/LC_MESSAGES/gateway.po"))]
    by_language = {one.language: one for one in found}
    if SOURCE not in by_language:
        raise FlowError(locales / SOURCE, 1, 1, f"the catalogue of {SOURCE} is missing here")
    source = by_language[SOURCE].words
    return {language: _completed(one, source) for language, one in by_language.items()}


def catalogue_from_text(
    language: str, po_text: str, source: Mapping[str, str] | None = None
) -> Catalogue:
    """The catalogue of a kept text, for an old message; ``source`` lends the words that it lacks.

    Raises FlowError.
    """
    po = parse_po(Path(f"{language}.po"), po_text)
    return _completed(_catalogue(po, po.words()), source or {})


def read_catalogue(path: Path) -> Catalogue:
    """One catalogue from its file, or from the compiled one beside it if that is of the same text.

    Times of files are not asked: an installed package and a copied folder have none that tell.
    Raises FlowError.
    """
    po_text = read_text(path)
    words = _compiled(path.with_suffix(".mo"), digest_of(po_text))
    if words is not None:
        return _catalogue(parse_po(path, po_text, entries=False), words)
    po = parse_po(path, po_text)
    return _catalogue(po, po.words())


def _compiled(path: Path, digest: str) -> dict[str, str] | None:
    try:
        with path.open("rb") as file:
            words = words_of(read_mo(file))
    except (OSError, ValueError):
        return None
    return words if words.pop(DIGEST, None) == digest else None


def _catalogue(po: PoText, words: Mapping[str, str]) -> Catalogue:
    _check_folder(po)
    read_by, read_on = po.read_aloud()
    return Catalogue(po.language, words, read_by is None, read_by, read_on, po.digest)


def _check_folder(po: PoText) -> None:
    folder = po.path.parent.parent.name.replace("_", "-")
    line = po.headers["Language"][1] if po.language else 1
    if folder and folder != po.language:
        raise po.mistake(line, f"Language: need {folder}, as the folder says, got {po.language}")
    try:
        locale_of(po.language)
    except ValueError as error:
        raise po.mistake(line, f"Language: {error}") from error


def _completed(one: Catalogue, source: Mapping[str, str]) -> Catalogue:
    return replace(one, words={**source, **one.words})
