"""What a dialled page says beside fixed words: what a plot needs now, and names of languages."""

from collections.abc import Mapping
from datetime import date
from typing import Final

from gateway.agronomy.advice import Advice
from gateway.messages.catalogue import Catalogue
from gateway.messages.digest import group_of
from gateway.messages.letters import is_bare

NOW: Final = "menu.now."
"""One message for each group of a digest, and one for a plot that nothing is known of."""

UNKNOWN: Final = "unknown"
RESTING: Final = "resting"
LANGUAGE: Final = "language.name"


def say_now(
    plot: str,
    advice: Advice | None,
    today: date,
    catalogue: Catalogue,
    rests_until: date | None = None,
) -> str:
    """The newest advice of a plot in one short line; once its days are over it says to look.

    ``rests_until``: the last day on which its advice rests, which is then all that is said.
    """
    if rests_until is not None:
        return catalogue.say(f"{NOW}{RESTING}", plot=plot, until=rests_until)
    if advice is None:
        return catalogue.say(f"{NOW}{UNKNOWN}", plot=plot)
    days = (advice.next_reading_on, advice.detail.act_by)
    over = any(day is not None and day < today for day in days)
    group = "look" if over else group_of(advice)
    by, look = advice.detail.act_by or today, advice.next_reading_on or today
    return catalogue.say(f"{NOW}{group}", plot=plot, by=by, look=look)


def language_names(
    catalogue: Catalogue, scripts: Mapping[str, Catalogue], plain: Mapping[str, Catalogue]
) -> dict[str, str]:
    """Each language's own name by its code, in the letters in which ``catalogue`` writes.

    ``scripts`` and ``plain`` hold the two forms of each language, where it has both.
    """
    forms = {**scripts, **plain} if catalogue.plain or is_bare(catalogue.language) else scripts
    return {code: forms[code].say(LANGUAGE) for code in scripts}
