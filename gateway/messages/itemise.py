"""From tokens to items: plots, numbers, and phrases with the role that each plays."""

import re
from dataclasses import replace

from gateway.messages.codes import Codes, code_at
from gateway.messages.days import AGO_BEFORE, UNKNOWN, date_at, month_date_at, names_hour
from gateway.messages.items import Item, beside
from gateway.messages.numerals import CM_IN, Amount, amount_at, value_of, word_amount
from gateway.messages.phrases import phrase_at
from gateway.messages.slips import meant
from gateway.messages.tokens import Token
from gateway.messages.vocabulary import WEAK, Term, Vocabulary

_ENDS = frozenset(".!?;\n")
_LONGEST_FOREIGN = 4
_ALIKE = re.compile(r"[lio][0-9]+")
_SIDES = frozenset(("below", "above", "rim"))
_HOURS = 24
_SHORTEST_VERB = 4
_SEVERAL = 2
_DENIED = Term("not-before")
_LACKING = frozenset(("filler", "no", "not", "not-before"))
_BEFORE_LEVEL = frozenset(("filler", "polite", "sign"))


class Itemiser:
    """One pass over the tokens of a text.

    ``asked`` holds the clauses that end in a question mark, ``first_words`` the word that each
    clause begins with.
    """

    def __init__(self, tokens: list[Token], codes: Codes, vocabulary: Vocabulary) -> None:
        self.tokens, self.codes, self.vocabulary = tokens, codes, vocabulary
        self.words = [meant(t.text, vocabulary) if t.shape == "word" else "" for t in tokens]
        self.items: list[Item] = []
        self.asked: set[int] = set()
        self.first_words: dict[int, str] = {}
        self.clause = self.sentence = 0
        self.named: dict[int, tuple[tuple[str, ...], int, str]] = {}
        self._code_places: frozenset[int] = frozenset()
        self._quoted = False

    def run(self) -> "Itemiser":
        """Turn all tokens into items."""
        self._find_codes()
        at = 0
        while at < len(self.tokens):
            if self.tokens[at].shape == "word":
                self.first_words.setdefault(self.clause, self.tokens[at].text)
            at = self._step(at)
        return self

    def _put(self, role: str, at: int, **more: object) -> None:
        item = Item(role, at, self.clause, self.sentence)
        self.items.append(replace(item, **more) if more else item)  # type: ignore[arg-type]

    def _step(self, at: int) -> int:
        token = self.tokens[at]
        if token.shape == "mark":
            return self._mark(at)
        if at in self.named:
            codes, used, left = self.named[at]
            self._put("own", at, codes=codes)
            if left:
                value, sure, decimals = value_of(left)
                self._left_over(at, value, sure and decimals < 2, at + used)
            return at + used
        return self._number(at) if token.shape == "number" else self._word(at)

    def _find_codes(self) -> None:
        """Find the sender's own codes first, for a phrase may stand around one."""
        at = 0
        while at < len(self.tokens):
            mark = self.tokens[at].shape == "mark"
            codes, used, left = ((), 0, "") if mark else code_at(self.tokens, at, self.codes)
            if used and self._measured(at, used):
                codes, used = (), 0
            if used and not (used == 1 and self.tokens[at].text in self.vocabulary.known):
                self.named[at] = (codes, used, left)
            at += max(used, 1)
        whole = [(at, used) for at, (_, used, left) in self.named.items() if not left]
        self._code_places = frozenset(i for at, used in whole for i in range(at, at + used))

    def _measured(self, at: int, used: int) -> bool:
        """Whether an article stands before a measure, and no code apart ("a 5 cm" beside A05)."""
        tokens = self.tokens[at : at + used + 1]
        apart = used > 1 and len(tokens) > used and not tokens[1].glued
        article = tokens[0].text in self.vocabulary.skip
        return apart and article and tokens[used].text in self.vocabulary.units

    def _phrase(self, at: int) -> tuple[Term | None, int]:
        return phrase_at(self.tokens, self.words, at, self.vocabulary, self._code_places)

    def _left_over(self, at: int, value: float, sure: bool, end: int) -> None:
        unit = None
        if end < len(self.tokens) and self.tokens[end].shape == "word":
            unit = self.vocabulary.units.get(self.tokens[end].text)
        self._put("amount", at, amount=Amount(value, 0, unit, True, sure))

    # -- marks ------------------------------------------------------------------------------------

    def _mark(self, at: int) -> int:
        text = self.tokens[at].text
        if text in _ENDS:
            if text == "?":
                self.asked.add(self.clause)
            self.sentence += 1
            self.clause += 1
        elif text == ",":
            self._put("comma", at)
            self.clause += 1
        elif text == "&":
            self._put("and", at)
        elif text in "<>":
            self._put("compare", at)
        elif text in ('"', "'"):
            self._quoted = not self._quoted
        elif text in "+-":
            self._bare_sign(at)
        return at + 1

    def _bare_sign(self, at: int) -> None:
        follows = self.tokens[at + 1] if at + 1 < len(self.tokens) else None
        if follows is not None and (follows.shape == "number" or self._ties_words(at)):
            return
        sign = -1 if self.tokens[at].text == "-" else 1
        self._put("and" if sign > 0 and self._between_codes(at) else "sign", at, value=sign)

    def _ties_words(self, at: int) -> bool:
        """Whether a hyphen only joins a number to a word ("12-below")."""
        both = at > 0 and self.tokens[at].glued and self.tokens[at + 1].glued
        return both and self.tokens[at].text == "-" and self.tokens[at + 1].shape == "word"

    def _between_codes(self, at: int) -> bool:
        before = bool(self.items) and self.items[-1].role == "own"
        return before and code_at(self.tokens, at + 1, self.codes)[1] > 0

    # -- numbers ----------------------------------------------------------------------------------

    def _number(self, at: int) -> int:
        dated = date_at(self.tokens, at, self.vocabulary)
        if dated is not None:
            role, value, end = dated
            self._put(role, at, value=value)
            return end
        ago, end = self._phrase(at + 1)
        if ago is not None and ago.role == "day" and ago.value in ("ago", UNKNOWN):
            said = f"-{self.tokens[at].text[:4]}" if ago.value == "ago" else UNKNOWN
            self._put("day", at, value=said if self.tokens[at].text.isdigit() else UNKNOWN)
            return end
        amount, end = amount_at(self.tokens, at, self.vocabulary, self._quoted)
        if ago is not None and ago.role == "day" and amount.unit == "day":  # "-9 hari ini"
            amount, end = replace(amount, unit=None, length=True), at + 1
        if self._is_all_plots(amount, end):
            return self._all_plots(at, end)
        counted = amount.sign and not amount.length and self.tokens[end - 1].shape == "word"
        if counted and self._is_no_unit(end):  # "-12 jam 6", "-12 h sir"
            amount, end = replace(amount, unit=None, length=True), end - 1
        if self._ranged(at, end):
            amount = replace(amount, sure=False)
        self._put("amount", at, amount=amount, hour=self._may_be_hour(at, amount))
        return end

    def _is_all_plots(self, amount: Amount, end: int) -> bool:
        """Whether a number counts all plots of the sender ("my three plots")."""
        if amount.sign or amount.value != len(self.codes.plots) or amount.value < _SEVERAL:
            return False
        counted = self.tokens[max(0, end - 1) : end + 1]
        return any(token.text in self.vocabulary.plots for token in counted)

    def _all_plots(self, at: int, end: int) -> int:
        end += end < len(self.tokens) and self.tokens[end].text in self.vocabulary.plots
        if not self.items or self.items[-1].role != "all":
            self._put("all", at, until=end)
        return end

    def _is_no_unit(self, end: int) -> bool:
        """Whether a word after a level counts nothing: it begins a phrase ("-12 giờ làm gì"), names
        an hour to come, or says "is" or "now"."""
        unit = self.tokens[end - 1].text
        term, after = self._phrase(end - 1)
        now = term is not None and (after > end or term.role == "day")
        return now or unit in self.vocabulary.skip or self._number_follows(end)

    def _may_be_hour(self, at: int, amount: Amount) -> bool:
        """Whether "at" stands before a bare number, and no other number right after it."""
        bare = amount.unit is None and amount.sign == 0 and amount.value <= _HOURS
        near = range(at + 1, min(at + 3, len(self.tokens)))
        apart = not any(self.tokens[k].shape == "number" for k in near if k - 1 not in self.named)
        led = at > 0 and self.tokens[at - 1].text in self.vocabulary.clock_before
        return bare and apart and led

    def _ranged(self, at: int, end: int) -> bool:
        """Whether a hyphen or slash ties this number to another ("10-12", "1/2")."""
        return self._tied(end, end + 1) or self._tied(at - 1, at, at - 2)

    def _tied(self, mark: int, number: int, other: int | None = None) -> bool:
        if mark < 0 or number >= len(self.tokens) or (other is not None and other < 0):
            return False
        sign, digits = self.tokens[mark], self.tokens[number]
        glued = sign.text in "-/+" and sign.shape == "mark" and sign.glued and digits.glued
        before = self.tokens[other if other is not None else mark - 1]
        far = other is not None and self.items and self.items[-1].role == "own"
        return glued and digits.shape == "number" and before.shape == "number" and not far

    # -- words ------------------------------------------------------------------------------------

    def _word(self, at: int) -> int:
        word = self.words[at]
        if self.tokens[at].text in self.vocabulary.half_before and self._number_follows(at + 1):
            return at + 1
        month_day = self._month_day(at)
        if month_day:
            self._put("day", at, value=UNKNOWN, until=month_day)
            return month_day
        if self._labels_number(at) or self._names_person(at):
            self._put("clock", at, until=at + 2)
            return at + 2
        if word in self.vocabulary.signs and self._phrase(at)[1] <= at + 1:
            if not self._number_follows(at + 1):
                self._put("sign", at, value=self.vocabulary.signs[word])
            return at + 1
        dated = month_date_at(self.tokens, at, self.vocabulary)
        if dated is not None:
            self._put("date", at, value=dated[0])
            return dated[1]
        if names_hour(self.tokens, at, self.vocabulary) and self._number_follows(at + 1):
            return self._hour(at + 1)
        if len(word) == 1 and (self._glued_number(at) or not self._is_idle(word)):
            end = self._foreign_end(at, word)
            if end:
                return self._foreign(at, end)
        term, end = self._phrase(at)
        if term is not None and term.value == AGO_BEFORE:
            return self._days_back(at, end)
        number = word_amount(self.tokens, at, self.vocabulary)
        measured = number is not None and (number[0].unit in CM_IN or number[0].sign != 0)
        if measured and term == _DENIED:  # "নয় সেমি": nine, and not a denial
            term = None
        if term is not None and (number is None or term.role not in WEAK or end > at + 1):
            self._known(term, at, end)
            for inside in range(at + 1, end):
                if inside in self.named:
                    self._put("own", inside, codes=self.named[inside][0])
            return end
        if number is not None and self._is_all_plots(*number):
            return self._all_plots(at, number[1])
        if number is not None:
            self._put("amount", at, amount=self._whole_word(number[0], at), in_words=True)
            return number[1]
        return self._stranger(at, word)

    def _month_day(self, at: int) -> int:
        """The token after a day of a month that is not named ("tgl 5"); 0 for none."""
        if self.tokens[at].text not in self.vocabulary.month_days:
            return 0
        number = at + 1
        while number < len(self.tokens) and self._before_month_day(number):
            number += 1
        day = self.tokens[number] if number < len(self.tokens) else None
        if day is None or number in self.named or not day.text.isdigit() or len(day.text) > 2:
            return 0
        dated = date_at(self.tokens, number, self.vocabulary)
        after = self.tokens[number + 1].text if number + 1 < len(self.tokens) else ""
        return 0 if dated is not None or after in self.vocabulary.units else number + 1

    def _before_month_day(self, at: int) -> bool:
        text = self.tokens[at].text
        return text == "-" or text in self.vocabulary.month_days

    def _names_person(self, at: int) -> bool:
        """Whether a number in words is a name here ("chú Tư": uncle Four)."""
        name = self.tokens[at + 1] if at + 1 < len(self.tokens) else None
        titled = self.tokens[at].text in self.vocabulary.titles
        return titled and name is not None and self.vocabulary.numbers.get(name.text, 0) > 0

    def _labels_number(self, at: int) -> bool:
        """Whether a number here only names a group or house ("group 4", "ward 12")."""
        follows = self.tokens[at + 1] if at + 1 < len(self.tokens) else None
        if follows is None or self.tokens[at].text not in self.vocabulary.labels:
            return False
        if follows.shape != "number" or not follows.text.isdigit() or at + 1 in self.named:
            return False
        after = self.tokens[at + 2].text if at + 2 < len(self.tokens) else ""
        term = self.vocabulary.phrases.get(after, {}).get("")
        sided = term is not None and term.role in _SIDES
        return after not in self.vocabulary.units and not sided

    def _whole_word(self, amount: Amount, at: int) -> Amount:
        """In doubt after a strange word, which may be the greater part of it ("bente dos")."""
        strange = bool(self.items) and self.items[-1].role == "unknown"
        tied = at > 1 and self.tokens[at - 1].text == "-" and self.tokens[at - 1].glued
        if strange and self.items[-1].at == at - 1 - tied:
            return replace(amount, sure=False)
        return self._no_article(amount, at)

    def _known(self, term: Term, at: int, end: int) -> None:
        value, detail, words = term.value, term.detail, self.words[at:end]
        role = "plain" if term.role == "thing" else term.role
        value = "thing" if term.role == "thing" else value
        grounded = term.role in _SIDES and any(word in self.vocabulary.ground for word in words)
        watered = any(word in self.vocabulary.water for word in words)
        if term.value == "no-water" and watered and all(map(self._says_lack, words)):
            detail = "bare"
        if term.role == "filler":
            ground = any(word in self.vocabulary.ground for word in words)
            value = "water" if watered else "ground" if ground else value
        self._put(role, at, value=value, detail=detail, until=end, grounded=grounded)

    def _says_lack(self, word: str) -> bool:
        """Whether a word is one of water, of lack, or none: "no water" may be that of the tube."""
        term = self.vocabulary.phrases.get(word, {}).get("")
        lacking = term is not None and term.role in _LACKING
        passed = word in self.vocabulary.skip or word in self.vocabulary.numbers
        return not word or passed or lacking

    def _hour(self, at: int) -> int:
        """An hour in words is no level ("alas sais"); one in digits is known as a time."""
        if self.tokens[at].shape == "number":
            return at
        self._put("clock", at)
        return at + 1

    def _no_article(self, amount: Amount, at: int) -> Amount:
        """In doubt where an article may follow a word that is also a sign ("plus une goutte")."""
        signed = at > 0 and self.tokens[at - 1].text in self.vocabulary.signs
        article = signed and amount.unit is None and self.tokens[at].text in self.vocabulary.skip
        return replace(amount, sure=False) if article else amount

    def _days_back(self, at: int, end: int) -> int:
        """ "Il y a 2 jours": so many days back; weeks are a day not known, other things none."""
        number, unit = self.tokens[end : end + 1], self.words[end + 1 : end + 2]
        phrases = self.vocabulary.phrases.get(unit[0], {}) if unit else {}
        days = any(node.get("") == Term("day", "ago") for word, node in phrases.items() if word)
        if not (number and number[0].text.isdigit() and self._counts_days(unit)):
            self._put("filler", at, until=end)
            return end
        self._put("day", at, value=f"-{number[0].text[:4]}" if days else UNKNOWN, until=end + 2)
        return end + 2

    def _counts_days(self, unit: list[str]) -> bool:
        return bool(unit) and self.vocabulary.quantities.get(unit[0]) == "day"

    def _number_follows(self, at: int) -> bool:
        if at >= len(self.tokens):
            return False
        token = self.tokens[at]
        half = token.text in self.vocabulary.half_before
        return half or token.shape == "number" or token.text in self.vocabulary.numbers

    def _stranger(self, at: int, word: str) -> int:
        if word in self.vocabulary.skip:
            return at + 1
        end = self._foreign_end(at, word)
        if end:
            return self._foreign(at, end)
        ends = self.vocabulary.future_endings
        verb = bool(ends) and len(word) >= _SHORTEST_VERB and word.endswith(ends)
        self._put("future-own" if verb else "unknown", at, value=word)
        return at + 1

    def _foreign(self, at: int, end: int) -> int:
        written = "".join(token.text for token in self.tokens[at:end])
        if _ALIKE.fullmatch(written) and self._after_own():
            self._put("amount", at, amount=Amount(0.0, 0, None, True, False))
            return end
        self._put("foreign", at, value=written.upper())
        return end

    def _after_own(self) -> bool:
        """Whether a plot was just named, so that "l2" is a misspelt number, not another plot."""
        last = beside(self.items, len(self.items), -1, _BEFORE_LEVEL)
        return last is not None and self.items[last].role == "own"

    def _is_idle(self, word: str) -> bool:
        term = self.vocabulary.phrases.get(word, {}).get("")
        return word in self.vocabulary.skip or (term is not None and term.role == "filler")

    def _glued_number(self, at: int) -> bool:
        """Whether a letter begins a code of its own ("h77", where "h" may also say "is")."""
        letter, number = self.tokens[at], self.tokens[at + 1 : at + 2]
        return not letter.glued and bool(number) and number[0].shape == "number" and number[0].glued

    def _foreign_end(self, at: int, word: str) -> int:
        if len(word) > _LONGEST_FOREIGN or (word in self.vocabulary.known and len(word) > 1):
            return 0
        end = at + 1
        told = self.vocabulary.phrases.get(word, {}).get("")
        if self._spaced_letter(at, word) and (told is None or told.role in WEAK):
            return end + 1
        if end + 1 < len(self.tokens) and self.tokens[end].text in "-/._":
            end += 1 if self.tokens[end].glued and self.tokens[end + 1].glued else 0
        if end >= len(self.tokens) or not self.tokens[end].glued:
            return 0
        return end + 1 if self.tokens[end].shape == "number" else 0

    def _spaced_letter(self, at: int, word: str) -> bool:
        """Whether a lone letter before a number may begin a code ("K 12 below")."""
        if len(word) > 1 or at + 1 >= len(self.tokens) or not self.tokens[at + 1].text.isdigit():
            return False
        after_own = bool(self.items) and self.items[-1].role == "own"
        quantity = word in self.vocabulary.quantities or word in self.vocabulary.units
        return not (after_own or quantity) and not self.tokens[at + 1].glued
