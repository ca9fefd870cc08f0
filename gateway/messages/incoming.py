"""One text that came in, read into items, with all that is known of its sender."""

from datetime import date

from gateway.messages.codes import codes_of
from gateway.messages.heard import Sender
from gateway.messages.inclause import (
    settle_acts,
    settle_dry_sources,
    settle_either,
    settle_lately,
    settle_missent,
    settle_pests,
    settle_places,
    settle_planting,
    settle_should,
    settle_spoken,
    settle_stands,
    settle_undone,
    settle_weekdays,
)
from gateway.messages.itemise import Itemiser
from gateway.messages.items import Item
from gateway.messages.normal import fold
from gateway.messages.scopes import mark_asked
from gateway.messages.shorthand import written_out
from gateway.messages.spellings import sounded, spelled
from gateway.messages.tokens import tokenise
from gateway.messages.vocabulary import Vocabulary


class Incoming:
    """A text as tokens, words and items. ``spans``: the tokens at which its questions begin."""

    def __init__(
        self, text: str, sender: Sender, vocabulary: Vocabulary, today: date | None
    ) -> None:
        self.text, self.sender, self.vocabulary, self.today = text, sender, vocabulary, today
        self.codes = codes_of(sender.plots)
        plain = written_out(fold(text, vocabulary), self.codes, vocabulary)
        self.tokens = tokenise(sounded(plain, vocabulary, self.codes))
        if vocabulary.bare or not text.isascii():
            self.tokens = spelled(self.tokens, vocabulary)
        read = Itemiser(self.tokens, self.codes, vocabulary).run()
        self.items, self.words = read.items, read.words
        settle_either(self.items)
        settle_should(self.items)
        settle_spoken(self.items)
        settle_dry_sources(self.items)
        settle_weekdays(self.items)
        settle_missent(self.items)
        settle_lately(self.items)
        settle_undone(self.items)
        settle_stands(self.items)
        settle_places(self.items)
        settle_acts(self.items)
        settle_planting(self.items, self.words, vocabulary)
        settle_pests(self.items, self.words, vocabulary)
        self.questioned = bool(read.asked)
        opened = {c for c, word in read.first_words.items() if word in vocabulary.openers}
        self.spans = mark_asked(self.items, read.asked, opened)

    def roles(self) -> set[str]:
        """All roles that occur in the text."""
        return {item.role for item in self.items}

    def role_of(self, word: str) -> str:
        """The role of a single word, or "" where it has none."""
        term = self.vocabulary.phrases.get(word, {}).get("")
        return term.role if term is not None else ""

    def only_plot(self) -> str | None:
        """The plot of a sender who reads exactly one."""
        return self.sender.plots[0] if len(self.sender.plots) == 1 else None

    def knows(self, plot: str | None) -> bool:
        """Whether the sender reads this plot (None: no plot, nothing to hide)."""
        return plot is None or plot in self.sender.plots

    def own(self) -> list[Item]:
        """The items that name plots of the sender."""
        return [item for item in self.items if item.role == "own"]

    def spoken(self) -> list[str]:
        """The words, slips mended, without plots and, where more is said, without courtesies."""
        codes = self._code_words()
        every = [w for at, w in enumerate(self.words) if w and at not in codes]
        taken = codes | self.courtesies()
        kind = [w for at, w in enumerate(self.words) if w and at not in taken]
        return kind or every

    def courtesies(self) -> set[int]:
        """Places of words that are only polite ("merci beaucoup")."""
        return {at for item in self.items if item.role == "polite" for at in item.places()}

    def _code_words(self) -> set[int]:
        """Places of words that are letters of a plot code."""
        starts = [item.at for item in self.items]
        ends = [*starts[1:], len(self.tokens)][: len(starts)]
        spans = [
            range(item.at, max(end, item.at + 1))
            for item, end in zip(self.items, ends, strict=True)
            if item.role == "own"
        ]
        return {at for span in spans for at in span if not self.role_of(self.words[at])}
