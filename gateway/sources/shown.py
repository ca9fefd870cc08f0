"""A cell as a mistake may repeat it: short, on one line, and never a phone number in full."""

import re

MOST = 40
LONG = 7  # so many digits may be a phone, whatever stands between them
DAY = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}", re.ASCII)


def shown(cell: str) -> str:
    """``cell`` in quotes, cut at 40 characters; all but the last two of many digits hidden."""
    plain = hide_digits(cell) if may_be_phone(cell) else cell
    return repr(plain if len(plain) <= MOST else plain[:MOST] + "...")


def may_be_phone(cell: str) -> bool:
    """Whether a cell holds as many digits as a phone number, and is no day."""
    digits = sum(letter.isnumeric() for letter in cell)
    return digits >= LONG and not (DAY.fullmatch(cell) and digits <= LONG + 1)


def hide_digits(cell: str) -> str:
    """``cell`` with all digits but the last two replaced."""
    left = sum(letter.isnumeric() for letter in cell) - 2
    hidden = []
    for letter in cell:
        hide = letter.isnumeric() and left > 0
        left -= letter.isnumeric()
        hidden.append("•" if hide else letter)
    return "".join(hidden)
