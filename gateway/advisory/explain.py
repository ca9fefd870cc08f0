"""Explain an advice: give it again from the book and the papers of its day, and compare."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from gateway.advisory.advise import word_given
from gateway.advisory.errors import PapersOutlived
from gateway.advisory.papers import unseal_words
from gateway.advisory.ports import Store
from gateway.advisory.records import AdviceRecord, BookRow
from gateway.agronomy.advice import Advice
from gateway.agronomy.case import Case
from gateway.agronomy.judge import judge
from gateway.agronomy.rules import RuleBook
from gateway.messages.catalogue import UnknownMessage


@dataclass(frozen=True, slots=True)
class RulesOfThen:
    """Rules kept with an advice, as they are read today.

    ``filled`` are the keys that this program asks for and they lack, taken from today's file;
    ``left_out`` those that it reads no more. With either, the advice may not come out the same.
    """

    book: RuleBook
    filled: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """The record, the case as it was known then, and what judging it again gives.

    ``rows`` are those of the season's book as known then, replaced ones too; ``zone`` is the
    scheme's; ``rules`` are those of then.
    """

    record: AdviceRecord
    case: Case
    again: Advice
    text_again: str
    zone: str
    rows: tuple[BookRow, ...]
    rules: RulesOfThen

    @property
    def same(self) -> bool:
        """Whether judging and wording again give the very same."""
        return self.again == self.record.advice and self.text_again == self.record.text


@dataclass(frozen=True, slots=True)
class Explain:
    """Rebuilds the rules and words that made an advice from the text kept of them."""

    store: Store
    rules_from: Callable[[str, Mapping[str, str]], RulesOfThen]

    def __call__(self, advice_id: int) -> Explanation:
        """Give advice ``advice_id`` again. Raises NotOnRecord, PapersOutlived."""
        with self.store.begin(write=False) as unit:
            record = unit.advices.get(advice_id)
            case = unit.books.case_again(record.plot_id, record.setting, record.as_of)
            rows = unit.books.rows(record.plot_id, record.as_of)
            zone = next(s.zone for s in unit.schemes.all() if s.id == record.scheme_id)
            rules = self.rules_from(record.rules_digest, unit.advices.paper(record.rules_digest))
            words = unit.advices.paper(record.words_digest)
        catalogue = unseal_words(record.language, record.words_digest, words)
        again = judge(case, rules.book)
        try:
            text = word_given(again, catalogue, rules.book, record.topic)
        except UnknownMessage as error:
            raise PapersOutlived("words", record.words_digest, error.args[0]) from error
        return Explanation(record, case, again, text, zone, _of_season(rows, case), rules)


def _of_season(rows: list[BookRow], case: Case) -> tuple[BookRow, ...]:
    """What the case was made of, and what was replaced among it."""
    counted = set(case.events)
    first = min((event.on for event in case.events), default=date.min)
    return tuple(
        row for row in rows if row.event in counted or (row.superseded and row.event.on >= first)
    )
