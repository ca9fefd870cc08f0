"""Plain words and shapes for the codes that pages show. A code without words shows itself."""

from typing import Final

from gateway.advisory.parcels import NO_RECEIPT, NOT_SENT
from gateway.agronomy.advice import Band
from gateway.agronomy.book import Event

# Each state has a shape beside its word, so that no state is told by colour alone.
STATES: Final = {
    "waiting": ("waiting to leave", "ring"),
    "held": ("held back", "square"),
    "claimed": ("leaving now", "half"),
    "handed over": ("with the operator", "half"),
    "in doubt": ("in doubt", "diamond"),
    "delivered": ("delivered", "disc"),
    "undeliverable": ("could not be delivered", "triangle"),
    "expired": ("given up, not known to have arrived", "hourglass"),
    "withdrawn": ("withdrawn", "cross"),
}
# A text that the office gave up, by why: one never left, the other may well have arrived.
GIVEN_UP: Final = {NOT_SENT: "too late, never sent", NO_RECEIPT: "sent, no receipt came"}
OUTCOMES: Final = {
    "accept": ("understood", "disc"),
    "ask": ("asked back", "diamond"),
    "reject": ("nothing to answer", "ring"),
    "failed": ("failed here", "triangle"),
}
KINDS: Final = {
    "answer": "answer",
    "question": "question",
    "notice": "notice",
    "duty": "reminder of the calendar",
    "broadcast": "text to many",
}
STAGES: Final = {
    "before-planting": "before planting",
    "establishment": "rooting",
    "tillering": "tillering",
    "panicle": "panicle forming",
    "flowering": "flowering window",
    "grain-filling": "grain filling",
    "ripening": "ripening",
    "harvested": "harvested",
    "unknown": "stage not known",
}
ACTIONS: Final = {
    "none": "nothing to do",
    "keep-moist": "keep the soil wet, without standing water",
    "keep-flooded": "keep water standing",
    "wait": "wait, do not irrigate yet",
    "reflood": "irrigate",
    "top-up": "add water",
    "reflood-after-nitrogen": "fertilise, then flood the same day",
    "dry-to-fertilise": "let the water fall, then fertilise",
    "fertilise-shallow": "fertilise now onto shallow water",
    "let-out": "let water out",
    "no-more-water": "no more water this season",
    "drain": "drain for harvest",
    "ask": "a reading or a fact is needed first",
}
EVENTS: Final = {
    "reading": "reading",
    "flooded": "flooded",
    "rain": "rain",
    "nitrogen": "fertilised",
    "weeds": "weeds",
    "spray": "sprayed",
    "tall": "stand tall enough",
    "heading": "half of the heads out",
    "flowering": "half of the heads in flower",
    "submerged": "plants under water",
    "no-water": "no water came",
    "snails": "snails seen",
    "green": "grain still green",
    "harvest": "harvested",
}


SOURCES: Final = {
    "gravity-turn": "turns of the outlet",
    "own-pump": "a pump of the grower's own",
    "hired-pump": "a hired pump",
}


def source_word(source: str | None) -> str:
    """Where a plot's water comes from."""
    return "not known" if source is None else SOURCES.get(source, source)


def state_word(state: str, why: str = "") -> str:
    """What the office calls a state of a text out; ``why`` are the words kept beside it."""
    given_up = GIVEN_UP.get(why) if state == "expired" else None
    return given_up or STATES.get(state, (state, "ring"))[0]


def by_operator(why: str) -> bool:
    """Whether the words beside a state are the operator's own, and not the office's."""
    return bool(why) and why not in GIVEN_UP


def state_shape(state: str) -> str:
    """The shape that stands beside that word."""
    return STATES.get(state, (state, "ring"))[1]


def outcome_word(outcome: str | None) -> str:
    """What came of a text in; a text without any outcome was never read to its end."""
    return OUTCOMES[outcome or "failed"][0] if (outcome or "failed") in OUTCOMES else str(outcome)


def outcome_shape(outcome: str | None) -> str:
    """The shape that stands beside that word."""
    return OUTCOMES.get(outcome or "failed", ("", "ring"))[1]


def stage_word(stage: str | None) -> str:
    """A stage in words."""
    return STAGES.get(stage or "unknown", stage or "")


def action_word(action: str | None) -> str:
    """An action in words; a plot that had no advice yet says so."""
    return "no advice yet" if action is None else ACTIONS.get(action, action)


def kind_word(kind: str) -> str:
    """What kind of text out it is."""
    return KINDS.get(kind, kind)


def event_word(kind: str) -> str:
    """What happened on a plot."""
    return EVENTS.get(kind, kind)


def near(level_cm: float) -> float:
    """A level that was reckoned, to the half centimetre: more would only seem exact."""
    return round(level_cm * 2) / 2


def reckoned_words(level_cm: float | None) -> str:
    """A reckoned level in words."""
    return level_words(None if level_cm is None else near(level_cm))


def band_words(band: Band) -> str:
    """A level's doubt in words: ``11.5 to 15 cm below the soil``."""
    low, high = near(band.p10), near(band.p90)
    if low == high:
        return level_words(low)
    if low < 0 and high <= 0:
        return f"{abs(high):g} to {abs(low):g} cm below the soil"
    if low >= 0:
        return f"{low:g} to {high:g} cm above the soil"
    return f"{abs(low):g} cm below to {high:g} cm above the soil"


def level_words(level_cm: float | None) -> str:
    """A level in words: ``12 cm below the soil``. The sign is never needed to read it."""
    if level_cm is None:
        return "not known"
    if round(level_cm, 1) == 0:
        return "at the soil surface"
    side = "above" if level_cm > 0 else "below"
    return f"{abs(round(level_cm, 1)):g} cm {side} the soil"


def event_details(event: Event) -> str:
    """The numbers and words of an event, in the order in which one would say them."""
    found = [
        "tube dry" if event.dry else "",
        level_words(event.level_cm) if event.level_cm is not None else "",
        f"to {level_words(event.to_cm)}" if event.to_cm is not None else "",
        f"{event.mm:g} mm" if event.mm is not None else "",
        event.amount or "",
        f"{event.height_cm:g} cm tall" if event.height_cm is not None else "",
        event.product or "",
        f"hold {event.hold_days} days" if event.hold_days is not None else "",
        f"no entry for {event.reentry_hours:g} h" if event.reentry_hours is not None else "",
        "not trusted by the office" if event.doubtful else "",
        "told of the whole block" if event.by_block else "",
    ]
    return ", ".join(part for part in found if part)
