"""What was understood of a text, in a line for the office."""

from typing import Final

from gateway.messages.heard import Ask, Candidate, Heard, Meaning, Reading

_SIGN: Final = "asked back"
# What was asked back, by what was not clear. A question of another kind shows its own name.
_ASKED: Final = {
    "unclear": "not clear, asked to text it again",
    "sign": "asked whether below or above the soil",
    "number": "asked for the level",
    "plot": "asked which plot",
    "day": "asked for which day",
    "rim": "asked how high the rim stands",
    "unit": "asked for the unit",
    "order": "gives orders to the system, asked for a level",
}


def summary_of(heard: Heard) -> str:
    """One line in plain English; empty parts are left out."""
    parts = [_reading(r) for r in heard.readings] + [_meaning(m) for m in heard.meanings]
    parts += [_ask(a) for a in heard.ask]
    return "; ".join(parts) or heard.why or "nothing to store or answer"


def _reading(reading: Reading) -> str:
    said = "tube dry" if reading.dry else _level(reading.level_cm)
    when = f" on {reading.on}" if reading.on else ""
    return f"{reading.plot}: {said}{when}{', corrects an earlier one' * reading.supersedes}"


def _level(level_cm: float | None) -> str:
    if level_cm is None:
        return "no level"
    if level_cm == 0:
        return "water at the soil surface"
    return f"water {abs(level_cm):g} cm {'above' if level_cm > 0 else 'below'} soil"


def _meaning(meaning: Meaning) -> str:
    value = (
        "" if meaning.value is None else f" {meaning.value}{' ' + (meaning.unit or '')}".rstrip()
    )
    when = f" on {meaning.on}" if meaning.on else ""
    return f"{meaning.plot + ': ' if meaning.plot else ''}{meaning.kind}{value}{when}"


def _ask(ask: Ask) -> str:
    among = " or ".join(_candidates(ask.candidates))
    said = _SIGN if ask.about == "sign" and among else _ASKED.get(ask.about, ask.about)
    beside = f" ({_told(ask)})" if ask.dry or ask.level_cm is not None else ""
    return (
        f"{ask.plot + ': ' if ask.plot else ''}{said}{': ' + among + '?' if among else ''}{beside}"
    )


def _told(ask: Ask) -> str:
    return "tube dry" if ask.dry else _level(ask.level_cm)


def _candidates(candidates: tuple[Candidate, ...]) -> list[str]:
    """Levels by size and side: a minus sign is easily lost to the eye."""
    sizes = [abs(one) for one in candidates if not isinstance(one, str)]
    if len(sizes) == 2 and sizes[0] == sizes[1] != 0:
        below_first = candidates[0] == -sizes[0]
        return [f"{sizes[0]:g} cm {'below or above' if below_first else 'above or below'} soil"]
    return [one if isinstance(one, str) else _side(one) for one in candidates]


def _side(level_cm: float) -> str:
    if level_cm == 0:
        return "at the soil surface"
    return f"{abs(level_cm):g} cm {'above' if level_cm > 0 else 'below'} soil"
