"""What was understood of a text, in a line for the office."""

from gateway.messages.heard import Ask, Heard, Meaning, Reading


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
    among = f" ({' or '.join(_candidate(c) for c in ask.candidates)})" if ask.candidates else ""
    return f"{ask.plot + ': ' if ask.plot else ''}asked about {ask.about}{among}"


def _candidate(candidate: float | str) -> str:
    return candidate if isinstance(candidate, str) else f"{candidate:g}"
