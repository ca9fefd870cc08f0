"""Words of a broadcast: which phone gets which, how they look filled, and what is rough in them."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from gateway.advisory.broadcasts import Broadcast, ListedPhone, Wording
from gateway.advisory.papers import FALLBACK, Papers
from gateway.advisory.records import Scheme
from gateway.messages.catalogue import PLACE, Catalogue
from gateway.messages.letters import Letters, bare_code, is_bare
from gateway.messages.roughwords import Rough, rough_words, unknown_places_in
from gateway.messages.segments import SegmentCount, count_segments

PLOTS: Final = "plots"
Never = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Sample:
    """The words of one form as the phone with the most plots gets them.

    ``text`` None: there are no words for it. ``drafted``: nobody has read its catalogue aloud, so
    somebody must have read this text; ``read_by`` says who.
    """

    form: str
    language: str
    phones: int
    text: str | None
    count: SegmentCount | None = None
    rough: tuple[Rough, ...] = ()
    drafted: bool = True
    read_by: str = ""

    @property
    def is_ready(self) -> bool:
        """Whether it may go out: it has words, and somebody has read them aloud."""
        return self.text is not None and bool(self.read_by or not self.drafted)


@dataclass
class Speaker:
    """Says broadcasts. ``never``: by language, words that growers misread."""

    papers: Papers
    never: Never

    @cached_property
    def forms(self) -> dict[str, str]:
        """Every form in which words can be written down, with its language: not what rules give."""
        known = self.papers.catalogues, self.papers.plain
        codes = {one.language: language for held in known for language, one in held.items()}
        return {code: language for code, language in codes.items() if not is_bare(code)}

    @cached_property
    def _by_code(self) -> dict[str, Catalogue]:
        known = (*self.papers.catalogues.values(), *self.papers.plain.values())
        return {catalogue.language: catalogue for catalogue in known}

    def days_of(self, message: str) -> list[str]:
        """The days that a message of the catalogues names."""
        return sorted(self._by_code[FALLBACK].places(message) - {"scheme"})

    def lacking(self, wording: Wording) -> list[str]:
        """The days of its message that nobody has filled in."""
        return [day for day in self.days_of(wording.message or "") if day not in wording.days]

    def form_of(self, language: str, letters: Letters | None = None) -> str:
        """The code of the words that a phone of that language and those letters gets."""
        return self.papers.catalogue(language, letters).language

    def words_of(self, wording: Wording, form: str) -> str | None:
        """The words before their places are filled; None where there are none."""
        if wording.message:
            return self._catalogue(form).words.get(wording.message)
        return wording.own.get(form) or (wording.own.get(base_of(form)) if is_bare(form) else None)

    def say_to_each(
        self, broadcast: Broadcast, scheme: Scheme, phones: Iterable[ListedPhone]
    ) -> Iterator[tuple[ListedPhone, str | None]]:
        """Each phone with its text; what is the same for many is said once."""
        said: dict[tuple[str, tuple[str, ...]], str | None] = {}
        own = broadcast.wording.own.values()
        named = any(f"{{{PLOTS}}}" in words for words in own)
        for phone in phones:
            key = phone.form, phone.plots if named else ()
            if key not in said:
                said[key] = self.say(broadcast, scheme, phone)
            yield phone, said[key]

    def say(self, broadcast: Broadcast, scheme: Scheme, phone: ListedPhone) -> str | None:
        """The text for one phone; None where there are no words for it."""
        wording, catalogue = broadcast.wording, self._catalogue(phone.form)
        if wording.message:
            return catalogue.say(wording.message, scheme=scheme.short_name, **wording.days)
        words = self.words_of(wording, phone.form)
        fields = {"scheme": scheme.short_name, PLOTS: " ".join(phone.plots)}
        return words and catalogue.write(PLACE.sub(lambda at: fields.get(at[1], at[0]), words))

    def samples(
        self,
        broadcast: Broadcast,
        scheme: Scheme,
        listed: Mapping[str, ListedPhone],
        many: Mapping[str, int],
    ) -> Iterator[Sample]:
        """Every form on the list, the commonest first, as its phone with the most plots has it."""
        for form in sorted(many, key=lambda form: (-many[form], form)):
            yield self._sample(broadcast, scheme, listed[form], many[form])

    def is_drafted(self, form: str) -> bool:
        """Whether nobody has read that catalogue aloud yet."""
        return self._catalogue(form).drafted

    def _sample(
        self, broadcast: Broadcast, scheme: Scheme, phone: ListedPhone, many: int
    ) -> Sample:
        form = phone.form
        text = self.say(broadcast, scheme, phone)
        bare = Sample(form, self._language(form), many, text)
        if text is None:
            return bare
        return replace(
            bare,
            count=count_segments(text),
            rough=self._rough(broadcast.wording, text, scheme, form),
            drafted=self.is_drafted(form),
            read_by=broadcast.wording.read_by.get(base_of(form), ""),
        )

    def _rough(self, wording: Wording, text: str, scheme: Scheme, form: str) -> tuple[Rough, ...]:
        """What is rough in own words; those of the catalogues have checks of their own."""
        if wording.message:
            return ()
        return tuple(rough_words(text, scheme.short_name, self._never(form)))

    def _catalogue(self, form: str) -> Catalogue:
        # Not by its language: the office may have set that this goes out in plain letters.
        return self._by_code.get(form) or self._by_code[FALLBACK]

    def _language(self, form: str) -> str:
        return self.forms.get(base_of(form), form)

    def _never(self, form: str) -> tuple[str, ...]:
        return self.never.get(base_of(form), ())


def base_of(form: str) -> str:
    """The form whose words it is made from by rule; itself where it has words of its own."""
    return form.removesuffix(bare_code("")) if is_bare(form) else form


def mistakes_in(wording: Wording) -> list[str]:
    """Places of own words that nothing fills, each with its language."""
    return [
        f"{code}: {name}"
        for code, words in wording.own.items()
        for name in unknown_places_in(words)
    ]
