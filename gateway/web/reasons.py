"""The reasons of an advice in plain words, for the office.

First come the rows of the decision table, then what was assumed or stands beside the advice.
"""

from collections.abc import Iterable
from typing import Final

RULES: Final = {
    "no-season-on-record": "No crop is on record for this plot.",
    "before-planting": "The crop is not planted yet.",
    "season-over": "The crop is harvested.",
    "submerged-in-spray-hold": "The plants stand under water, but a spray hold forbids letting it"
    " out: the office must decide.",
    "submerged": "The plants stand under water.",
    "standing-before-harvest": "Water still stands although the harvest is near.",
    "doubted-too-deep": "A reading says that the water is very deep, but it does not fit the"
    " others.",
    "too-deep": "The water is too deep for the crop.",
    "too-deep-in-spray-hold": "The water is too deep, but a spray hold forbids letting it out.",
    "crop-ripens": "The grain ripens; watering it further does no good.",
    "seedbed-moist": "The stand is freshly seeded: the soil is kept wet, without standing water.",
    "salty-canal-water": "The canal water is salty: nobody may be told to irrigate before it is"
    " checked.",
    "no-reading-yet": "No reading has come in yet.",
    "no-reading-at-flowering": "The crop flowers and no reading has come in: the safer side is"
    " taken.",
    "reading-overdue": "The last reading is too old to lean on.",
    "reading-overdue-at-flowering": "The crop flowers and the last reading is too old: the safer"
    " side is taken.",
    "doubted-and-flowering-dry": "A reading does not fit the others, but the crop flowers: water"
    " cannot wait.",
    "doubted-and-flowering-low": "A reading does not fit the others, but the crop flowers and"
    " water may be low.",
    "reading-doubted": "A reading does not fit the others and was not followed.",
    "flowering-dry": "The crop flowers and no water stands: that costs grain.",
    "flowering-low": "The crop flowers and little water stands.",
    "flowering-last-water": "The crop flowers and no later water comes in time.",
    "flowering-ponded": "The crop flowers: water must stand until the window ends.",
    "stage-unknown-dry": "The stage is not known, so the plot is kept as if it flowered: it is"
    " dry.",
    "stage-unknown-low": "The stage is not known, so the plot is kept as if it flowered: water is"
    " low.",
    "stage-unknown-ponded": "The stage is not known, so the plot is kept as if it flowered.",
    "too-dry": "The water is far below the dry limit: this plot comes before others.",
    "kept-flooded-but-dry": "This plot may not dry out, and no water stands.",
    "fertiliser-spread": "Fertiliser was spread: water must carry it in the same day.",
    "barred-fertilise-shallow": "Fertiliser is due and this plot may not dry, so it goes onto"
    " shallow water.",
    "soil-or-water-barred": "Soil or water of this plot forbids drying.",
    "after-submergence": "The plants recover from standing under water.",
    "threshold-in-spray-hold": "The water is at the dry limit; a spray hold keeps all water in.",
    "weeds-in-spray-hold": "A spray hold runs against many weeds: water stays.",
    "young-in-spray-hold": "The plants are young and a spray hold runs: water stays.",
    "reading-due-in-spray-hold": "The forecast is near the dry limit while a spray hold runs: it"
    " takes a reading.",
    "spray-hold": "A spray hold runs: no water leaves the plot.",
    "weeds-but-dry": "Standing water must hold the weeds down, and none stands.",
    "weed-hold": "Standing water holds the weeds down.",
    "nitrogen-due": "Fertiliser is due by the approved plan and no water stands: spread, then"
    " flood.",
    "nitrogen-last-days": "The time for this fertiliser ends, so it goes onto shallow water.",
    "nitrogen-due-water-stands": "Fertiliser is due, but water still stands.",
    "young-but-dry": "The plants are young and no water stands.",
    "young-plants": "The plants are young: water stays until drying may begin.",
    "reading-due": "The forecast is near the dry limit; nobody is sent to the water without a"
    " reading.",
    "threshold-reached": "The water is at the dry limit.",
    "tomorrow-too-late": "By tomorrow the water would be too deep below the soil.",
    "last-water-before-threshold": "No later water comes before the dry limit, so this one is"
    " taken.",
    "no-water-before-threshold": "No water is known to come before the dry limit: the office must"
    " find some.",
    "heat-at-flowering-low": "The crop flowers, great heat is forecast, and little water stands.",
    "heat-at-flowering": "The crop flowers and great heat is forecast: water must stand.",
    "cold-at-flowering": "The crop flowers and cold is forecast: water keeps it warm.",
    "cold-stage-unknown": "Cold is forecast and the stage is not known: water stays.",
    "cold-and-low": "Cold is forecast and no water stands to keep the plants warm.",
    "cold-seedlings": "Cold is forecast: water keeps the young plants warm.",
    "cold-booting": "Cold is forecast while the heads form: water keeps them warm.",
    "fertilise-in-hold": "A spray hold runs; by the office's choice fertiliser goes onto shallow"
    " water.",
    "fertilise-in-weed-hold": "Water must hold the weeds down; by the office's choice fertiliser"
    " goes onto shallow water.",
    "spray-needs-water": "The product that was sprayed needs standing water.",
    "above-threshold": "The water is above the dry limit: the crop has enough.",
}
BESIDE: Final = {
    "inlet-only": "A spray hold runs: water comes in at the inlet only, none leaves.",
    "supply-unknown": "Nobody has said when water comes to this plot.",
    "no-water-known": "No water is known to come to this plot.",
    "outlet-too-small": "The outlet hardly gives more than the plot loses.",
    "hours-too-short": "Water or power runs for fewer hours than the filling takes.",
    "cold-forecast": "Cold is forecast.",
    "heat-forecast": "Great heat is forecast.",
    "heading-not-reported": "Nobody has said yet whether the heads are out.",
    "long-under-water": "The plants have stood under water for long: the office must decide"
    " about replanting.",
    "plants-short": "The plants are short, so the water must stay shallow.",
    "snails": "Snails were seen, so the water must stay shallow.",
    "reading-marked-doubtful": "The office does not trust a reading.",
    "round-numbers-only": "The readings are round numbers only: is the tube really read?",
    "loses-too-much": "Standing water goes faster than crop and soil can take it: a leaking bund, a"
    " crab hole, or an outlet left open?",
    "loses-too-little": "The water hardly falls on days without rain: a clogged tube, or irrigation"
    " that nobody told of?",
    "fall-ignores-weather": "The water falls as fast in rain as without: is the tube really read?",
    "reader-plots-alike": "One reader reports the same level from several plots: are their tubes"
    " really read?",
    "weather-usual": "No weather is on record: what is usual for place and month is reckoned with.",
    "latitude-assumed": "The latitude is not on record: the scheme's usual one is reckoned with.",
    "same-number-again": "The same number came several times: is the tube really read?",
    "water-comes-later": "Water is known to come, but later.",
    "water-comes-too-late": "Water is known to come, but too late.",
    "nitrogen-missed": "A split of the fertiliser plan passed by without being reported.",
    "nitrogen-postponed-for-rain": "Fertiliser is due, but much rain is forecast: it waits.",
    "nitrogen-waits-for-water": "Fertiliser is due, but no water is sure to follow it.",
    "nitrogen-held": "Fertiliser is due, but something more pressing holds it.",
    "soil-not-checked": "Nobody has said whether soil or water forbids drying.",
    "soil-unknown": "The soil on record is none that the practice knows.",
    "profile-unknown": "The plot's profile is none that the practice knows.",
    "weeds-not-answered": "Nobody has said whether there are few or many weeds.",
    "raised-threshold-not-in-force": "The plot's deeper dry limit does not hold at this stage.",
    "threshold-limited-by-soil": "The soil limits how far the plot may dry.",
    "threshold-limited-at-booting": "Near booting the plot dries less far.",
    "tube-too-short": "The tube ends above the dry limit, so its bottom is the limit.",
    "seedling-age-assumed": "The sowing day is not on record: the seedlings' age is assumed, and"
    " the flowering window kept wider.",
    "duration-unknown": "The variety's days to maturity are not on record.",
    "duration-from-variety": "The days to maturity are those that are on record for the variety.",
    "crop-season-unknown": "The variety's days differ by season, and the season is not known.",
    "grain-still-green": "Most of the grain is still green, so the harvest was put off.",
    "falls-too-fast": "The water falls faster than it should: a leak or a hole in the bund?",
    "readings-unexplained": "Several readings do not fit: a broken bund, a muddy tube, or a"
    " flooding that nobody told of?",
    "heading-doubted": "Heads were reported sooner than any variety has them.",
    "saline": "Bar: saline soil or water.",
    "acid-sulphate": "Bar: acid sulphate soil.",
    "cadmium": "Bar: cadmium in the soil.",
    "fast-draining": "Caution: fast-draining soil.",
    "cracking": "Caution: cracking soil.",
    "high-ph": "Caution: soil of high pH.",
    "low-carbon": "Caution: soil of low carbon.",
    "unlevelled": "Caution: the plot is not level.",
    "later-events-left-out": "The book holds events of later days; they were not looked at.",
    "own-pump-at-hand": "The grower has a pump: water is taken to be at hand.",
    "approver-not-named": "Nobody is named who approved the fertiliser plan.",
    "unreliable-supply": "Caution: the water supply is not reliable.",
    "salty-water": "Bar: salty canal water.",
}
WORDS: Final = RULES | BESIDE
# What the office should look into on the plot, in a few words for the list of plots.
CONCERNS: Final = {
    "readings-unexplained": "readings do not fit each other",
    "reading-doubted": "a reading that nothing explains",
    "falls-too-fast": "water falls too fast",
    "loses-too-much": "a leaking bund?",
    "loses-too-little": "a clogged tube, or irrigation not told?",
    "same-number-again": "the same number again and again",
    "round-numbers-only": "round numbers only",
    "fall-ignores-weather": "falls as if it never rained",
    "reading-overdue": "nobody reads it",
    "long-under-water": "long under water",
    "salty-water": "salty canal water",
}


def concerns_of(reasons: Iterable[str]) -> list[str]:
    """What of an advice's reasons the office should look into, in a few words each."""
    return [CONCERNS[code] for code in reasons if code in CONCERNS]


def reason_words(code: str) -> str:
    """A reason in words; one that the office added to its table shows its code, spaced."""
    return WORDS.get(code, code.replace("-", " ").capitalize() + ".")
