"""Plain words for the choices and states of broadcasts."""

from typing import Final

from gateway.web.words import STAGES as ALL_STAGES

STAGES: Final = {code: words for code, words in ALL_STAGES.items() if code != "unknown"}
WATERS: Final = {
    "standing": "water stands on the plot",
    "below": "water at the soil or below it",
    "wanted": "water was called for",
    "overdue": "the day to look again is over",
    "untold": "no level told yet",
}
HABITS: Final = {
    "regular": "tells readings regularly",
    "seldom": "tells a reading now and then",
    "silent": "has told none lately",
}
# Each state has a shape beside its word, as those of texts have.
STATES: Final = {
    "draft": ("draft", "ring"),
    "released": ("released", "half"),
    "paused": ("paused", "square"),
    "cancelled": ("cancelled", "cross"),
}
ROUGH: Final = {
    "sign": "a sign that growers misread: say BELOW or ABOVE",
    "never-say": "a word that growers misread",
    "slashed-day": "a day in figures: write weekday, day and month",
    "numbers": "more than three numbers in one text",
    "long": "more segments than a usual text costs",
    "name-late": "it does not open with the name of the office; begin with {scheme}",
}
