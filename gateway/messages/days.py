"""Days as growers name them: yesterday, 2 days ago, Monday, 12 March, 12/3/26, and clock times."""

import re
from datetime import date, timedelta

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

UNKNOWN = "?"
_LONGEST_NAME = 3
AGO_BEFORE = "ago-before"
_WEEK, _MONTHS, _LONGEST_MONTH, _CENTURY = 7, 12, 31, 2000
_HOUR = re.compile(r"[01]?[0-9]|2[0-4]")
_TIME = re.compile(r"([01]?[0-9]|2[0-3])[.][0-5][0-9]")
_SIDES = ("below", "above", "rim")
_DOTTED = re.compile(r"([0-9]{1,2})[.]([0-9]{1,2})[.]([0-9]{2}|[0-9]{4})")


def date_at(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[str, str, int] | None:
    """("date", "clock" or "filler", what it says, the token after it) for a date or time.

    A date is YYYY-MM-DD, --MM-DD, or "?" where day and month could be either.
    """
    dotted = _DOTTED.fullmatch(tokens[at].text)
    if dotted:
        day, month, year = (int(group) for group in dotted.groups())
        return "date", _day_first(day, month, year), at + 1
    joined = _joined(tokens, at)
    if joined is not None:
        return joined
    if _hour_and_minutes(tokens, at, vocabulary):
        return "clock", "", at + 3
    if _told_hour(tokens, at, vocabulary):
        return "clock", "", at + 1
    return _with_month(tokens, at, vocabulary)


def _hour_and_minutes(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """ "6h30": an hour, its letter and two digits, all glued together."""
    if at + 2 >= len(tokens) or not tokens[at].text.isdigit() or len(tokens[at].text) > 2:
        return False
    letter, minutes = tokens[at + 1], tokens[at + 2]
    glued = letter.glued and minutes.glued and minutes.shape == "number"
    hours = vocabulary.quantities.get(letter.text) == "h"
    return hours and glued and len(minutes.text) == 2 and minutes.text.isdigit()


def names_hour(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the word at ``at`` only names an hour ("pukul 6"), and so is no other word."""
    before = tokens[at - 1] if at else None  # "2 jam 15" counts hours, then another thing
    led = before is not None and before.shape == "number" and not before.glued
    return tokens[at].text in vocabulary.clock_before - vocabulary.phrases.keys() and not led


def _told_hour(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """ "Pukul 6", "at 6.10": an hour after its word; with minutes where the word has other uses."""
    after = tokens[at + 1].text if at + 1 < len(tokens) else ""
    if not at or tokens[at - 1].text not in vocabulary.clock_before or after in vocabulary.units:
        return False
    if names_hour(tokens, at - 1, vocabulary):
        return bool(_HOUR.fullmatch(tokens[at].text) or _TIME.fullmatch(tokens[at].text))
    said = vocabulary.phrases.get(after, {}).get("")
    return bool(_TIME.fullmatch(tokens[at].text)) and (said is None or said.role not in _SIDES)


def _joined(tokens: list[Token], at: int) -> tuple[str, str, int] | None:
    parts, marks, end = [tokens[at].text], "", at + 1
    while end + 1 < len(tokens) and len(parts) < 4 and _ties(tokens, end):
        marks += tokens[end].text
        parts.append(tokens[end + 1].text)
        end += 2
    if not all(part.isdigit() and len(part) <= 4 for part in parts):
        return None
    numbers = [int(part) for part in parts]
    if marks in (":", "::") and numbers[0] <= 24 and len(parts[1]) == 2:
        return "clock", "", end
    if len(parts) > 2 and any(len(part) == 3 for part in parts):
        return "filler", "", end  # a telephone's number, which is no day
    if marks in ("//", "--"):
        return "date", _three(numbers, parts), end
    if marks == "/" and min(numbers) >= 1 and max(numbers) <= _LONGEST_MONTH:
        return "date", _day_first(numbers[0], numbers[1], None), end
    return None


def _ties(tokens: list[Token], at: int) -> bool:
    mark, follows = tokens[at], tokens[at + 1]
    return mark.text in ":/-" and mark.glued and follows.glued and follows.shape == "number"


def _three(numbers: list[int], parts: list[str]) -> str:
    if len(parts[0]) == 4:
        return _iso(numbers[0], numbers[1], numbers[2])
    return _day_first(numbers[0], numbers[1], numbers[2])


def _day_first(first: int, second: int, year: int | None) -> str:
    """Day and month where only one order is possible, else "?"."""
    if first <= _MONTHS and second <= _MONTHS and first != second:
        return UNKNOWN
    day, month = (first, second) if second <= _MONTHS else (second, first)
    return _iso(year, month, day)


def _iso(year: int | None, month: int, day: int) -> str:
    full = year if year is None or year >= 100 else year + _CENTURY
    try:
        date(full if full is not None else _CENTURY, month, day)
    except ValueError:
        return UNKNOWN
    return f"--{month:02}-{day:02}" if full is None else f"{full:04}-{month:02}-{day:02}"


def _with_month(
    tokens: list[Token], at: int, vocabulary: Vocabulary
) -> tuple[str, str, int] | None:
    """ "12 March", "12th of March 2026"."""
    if not tokens[at].text.isdigit() or len(tokens[at].text) > 2:
        return None
    end = at + 1
    while end < len(tokens) and end <= at + 2 and _passed_over(tokens[end], vocabulary):
        end += 1
    month, end = _month_at(tokens, end, vocabulary)
    if month is None:
        return None
    year, end_of_year = _year_at(tokens, end)
    return "date", _iso(year, month, int(tokens[at].text)), end_of_year


def _month_at(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[int | None, int]:
    """The month named at ``at``, in up to three words ("tháng mười hai"), and the token after."""
    for end in range(min(at + _LONGEST_NAME, len(tokens)), at, -1):
        month = vocabulary.months.get(" ".join(token.text for token in tokens[at:end]))
        if month is not None:
            return month, end
    return None, at


def _passed_over(token: Token, vocabulary: Vocabulary) -> bool:
    return token.text in vocabulary.ordinal_ends or token.text in vocabulary.skip


def _year_at(tokens: list[Token], at: int) -> tuple[int | None, int]:
    if at < len(tokens) and re.fullmatch(r"20[0-9]{2}", tokens[at].text):
        return int(tokens[at].text), at + 1
    return None, at


def month_date_at(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[str, int] | None:
    """The date that a month begins here ("March 12"), and the token after it; None for none."""
    month = vocabulary.months.get(tokens[at].text)
    day = tokens[at + 1].text if at + 1 < len(tokens) else ""
    if month is None or not day.isdigit() or len(day) > 2:
        return None
    end = at + 2
    if end < len(tokens) and tokens[end].text in vocabulary.ordinal_ends:
        end += 1
    year, end = _year_at(tokens, end)
    return _iso(year, month, int(day)), end


def settled(said: str | None, today: date | None) -> str | None:
    """The day in the form of a Reading's ``on``; with ``today`` known, as a date where it can be.

    ``said`` is None, "today", "yesterday", "-2", "weekday 0", a date, or "?". A weekday needs
    ``today``, else it stays "?".
    """
    if said is None or said == "today":
        return None
    if said.startswith("weekday"):
        return _last_weekday(int(float(said.split()[1])), today)
    if today is None or said == UNKNOWN:
        return said
    if said == "yesterday":
        return (today - timedelta(days=1)).isoformat()
    if said.startswith("--"):
        return _latest(said, today)
    if re.fullmatch(r"-[0-9]{1,4}", said):
        return (today - timedelta(days=int(said[1:]))).isoformat()
    return said if said <= today.isoformat() else UNKNOWN


def _last_weekday(number: int, today: date | None) -> str:
    if today is None:
        return UNKNOWN
    return (today - timedelta(days=(today.weekday() - number) % _WEEK)).isoformat()


def _latest(said: str, today: date) -> str:
    for year in (today.year, today.year - 1):
        try:
            day = date(year, int(said[2:4]), int(said[5:7]))
        except ValueError:
            continue
        if day <= today:
            return day.isoformat()
    return UNKNOWN
