"""While advice rests: what a grower who texts is told in its place."""

from datetime import date
from typing import Final

from gateway.advisory.talk import Talk
from gateway.messages.wording import word_notice

RESTS: Final = {"pause": "notice.resting", "call": "notice.resting-call"}


def tell_resting(talk: Talk, codes: list[str]) -> list[str]:
    """Say of plots that their advice rests, once for all that rest alike. Returns the others."""
    if not talk.kept.unsettled.rests:
        return codes
    plots = {code: talk.plots[code].plot_id for code in codes}
    over = talk.unit.pauses.over(list(plots.values()), talk.now)
    alike: dict[tuple[str, date], list[str]] = {}
    for code, plot_id in plots.items():
        if plot_id in over:
            pause = over[plot_id]
            alike.setdefault((RESTS[pause.safety], pause.last_on), []).append(code)
    for (msgid, last_on), resting in alike.items():
        text = word_notice(
            msgid,
            talk.catalogue,
            plots=tuple(resting),
            plot=resting[0],
            until=last_on,
        )
        talk.say(text, msgid, plot_id=plots[resting[0]])
    return [code for code, plot_id in plots.items() if plot_id not in over]
