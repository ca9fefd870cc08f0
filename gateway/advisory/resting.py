"""While advice rests: what a grower who texts is told in its place."""

from datetime import date
from typing import Final

from gateway.advisory.mending import Pause
from gateway.advisory.talk import Talk
from gateway.messages.wording import word_notice

WRITTEN: Final = {"pause": "notice.resting", "call": "notice.resting-call"}
"""What was told is written down all the same."""

ASKED: Final = {"pause": "notice.rests", "call": "notice.rests-call"}
"""Nothing was told of the plot: its grower asked."""


def awake(talk: Talk, codes: list[str]) -> list[str]:
    """Those of the plots whose advice does not rest."""
    over = _over(talk, codes)
    return [code for code in codes if code not in over]


def tell_resting(talk: Talk, codes: list[str]) -> list[str]:
    """Say of plots that their advice rests, once for all that rest alike. Returns the others."""
    over = _over(talk, codes)
    alike: dict[tuple[str, date], list[str]] = {}
    for code, pause in over.items():
        words = WRITTEN if code in talk.written else ASKED
        alike.setdefault((words[pause.safety], pause.last_on), []).append(code)
    for (msgid, last_on), resting in alike.items():
        text = word_notice(
            msgid,
            talk.catalogue,
            plots=tuple(resting),
            plot=resting[0],
            until=last_on,
        )
        talk.say(text, msgid, plot_id=talk.plots[resting[0]].plot_id)
    return [code for code in codes if code not in over]


def _over(talk: Talk, codes: list[str]) -> dict[str, Pause]:
    """The pause that holds for each of the plots that rest."""
    if not talk.kept.unsettled.rests:
        return {}
    plots = {code: talk.plots[code].plot_id for code in codes}
    over = talk.unit.pauses.over(list(plots.values()), talk.now)
    return {code: over[plot_id] for code, plot_id in plots.items() if plot_id in over}
