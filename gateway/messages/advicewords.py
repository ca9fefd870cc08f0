"""Advice as one text to a phone: the message is chosen by action and facts, then filled."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Final

from gateway.agronomy.advice import Action, Advice, Stage
from gateway.agronomy.plot import PUMPS, WaterSource
from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.fitting import say_first
from gateway.messages.levels import say_seen, stands_high, stands_low, was_read
from gateway.messages.segments import count_segments

Test = Callable[[Advice], bool]


def _always(_advice: Advice) -> bool:
    return True


def _forecast(advice: Advice) -> bool:
    return not was_read(advice)


def _at(*stages: Stage) -> Test:
    return lambda advice: advice.stage in stages


def _row(*names: str) -> Test:
    """Whether the advice comes from one of these rows of the decision table."""
    return lambda advice: advice.reasons[:1] != () and advice.reasons[0] in names


def _because(*codes: str) -> Test:
    """Whether one of these is among the reasons."""
    return lambda advice: any(code in advice.reasons for code in codes)


def _watered_by(source: WaterSource) -> Test:
    """Pumps have wires, turns come at night: a caution goes with each, where it is known."""
    return lambda advice: advice.detail.water_source == source


def _hours_told(advice: Advice) -> bool:
    return advice.detail.runs_from is not None


def _pump_with_hours(advice: Advice) -> bool:
    return _hours_told(advice) and advice.detail.water_source in PUMPS


def _read_because(*codes: str) -> Test:
    return lambda advice: was_read(advice) and _because(*codes)(advice)


def _doubted(advice: Advice) -> bool:
    return _read_because("reading-doubted", "doubted-too-deep")(advice)


def _doubted_higher(advice: Advice) -> bool:
    """Whoever irrigates often texts the new level, not that water was let in."""
    return _doubted(advice) and advice.detail.rose


def _doubted_low(advice: Advice) -> bool:
    """At the limit nobody may wait until tomorrow to see whether the reading was a slip."""
    limit, seen = _limit(advice), advice.detail.seen_cm
    low = advice.detail.seen_dry or (limit is not None and seen is not None and seen <= limit)
    return _doubted(advice) and low


def _doubted_standing(advice: Advice) -> bool:
    """In flower a doubted reading may be too high: who sees the water there need add none."""
    rows = _row("doubted-and-flowering-dry", "doubted-and-flowering-low")
    stands = advice.detail.seen_cm is not None and advice.detail.seen_cm > 0
    return rows(advice) and stands and advice.stage == "flowering"


def _inlet_only_in_flower(advice: Advice) -> bool:
    return advice.stage == "flowering" and "inlet-only" in advice.reasons


def _cold_and_low(advice: Advice) -> bool:
    return "cold-forecast" in advice.reasons and _needs_water(advice)


def _long_under(advice: Advice) -> bool:
    return _row("submerged")(advice) and "long-under-water" in advice.reasons


def _sprayed(advice: Advice) -> bool:
    """Whether a spray must stay in: nobody may be asked for a level below the one that stands."""
    return advice.detail.not_before is not None


def _not_to_enter(advice: Advice) -> bool:
    """Whether the look that is asked for is put off because nobody may walk in after a spray."""
    soonest = advice.as_of + timedelta(days=was_read(advice))
    return _sprayed(advice) and (advice.next_reading_on or soonest) > soonest


def _kept_wet(advice: Advice) -> bool:
    """Whether no soil may show, so that nobody is told of a depth at which to irrigate."""
    mark = advice.detail.threshold_cm
    return mark is not None and mark >= 0


def _sprayed_and_low(advice: Advice) -> bool:
    return _sprayed(advice) and _needs_water(advice)


def _needs_water(advice: Advice) -> bool:
    return stands_low(advice) or bool(advice.water_mm)


# For each action its messages, the special ones first. One is taken when its test holds and the
# advice has every figure that its words ask for; the last asks for hardly any.
MESSAGES: Final[dict[Action, tuple[tuple[str, Test], ...]]] = {
    "none": (
        ("answer.none.before", _at("before-planting")),
        ("answer.none.harvested", _at("harvested")),
        ("answer.none", _always),
    ),
    "keep-moist": (
        ("answer.keep-moist.low", lambda advice: bool(advice.water_mm)),
        ("answer.keep-moist.high", stands_high),
        ("answer.keep-moist", _always),
    ),
    "keep-flooded": (
        ("answer.keep.cold.low", _cold_and_low),
        ("answer.keep.cold", _because("cold-forecast")),
        ("answer.keep.low.sprayed", _sprayed_and_low),
        ("answer.keep.low", _needs_water),
        ("answer.keep.flowering.sprayed", _at("flowering")),
        ("answer.keep.sprayed", _sprayed),
        ("answer.keep.weeds", _row("weed-hold")),
        ("answer.keep.flowering", _at("flowering")),
        ("answer.keep.barred", _row("soil-or-water-barred")),
        ("answer.keep.young", _at("establishment")),
        ("answer.keep", _always),
        ("answer.keep.bare", _always),
    ),
    "wait": (
        ("answer.wait.sprayed", _row("spray-hold", "too-deep-in-spray-hold")),
        ("answer.wait.forecast", _forecast),
        ("answer.wait.forecast.bare", _forecast),
        ("answer.wait.rain", _because("nitrogen-postponed-for-rain")),
        ("answer.wait.fertiliser", _because("nitrogen-waits-for-water")),
        ("answer.wait", _always),
        ("answer.wait.bare", _always),
    ),
    "reflood": (
        ("answer.irrigate.fertilised", _row("fertiliser-spread")),
        ("answer.ask.flowering", _doubted_standing),
        ("answer.irrigate.inlet-only", _inlet_only_in_flower),
        ("answer.irrigate.sprayed", _because("inlet-only")),
        ("answer.irrigate.forecast", _forecast),
        ("answer.irrigate.flowering", _at("flowering")),
        ("answer.irrigate.no-supply", _because("no-water-known")),
        ("answer.irrigate.dry", lambda advice: advice.detail.seen_dry),
        ("answer.irrigate.too-dry", lambda advice: advice.detail.too_dry),
        ("answer.irrigate.early.next", _row("last-water-before-threshold")),
        ("answer.irrigate.early", _row("last-water-before-threshold")),
        ("answer.irrigate.later", _because("water-comes-later")),
        ("answer.irrigate.pump.hours", _pump_with_hours),
        ("answer.irrigate.turn.hours", _hours_told),
        ("answer.irrigate.pump", _watered_by("own-pump")),
        ("answer.irrigate.pump.hired", _watered_by("hired-pump")),
        ("answer.irrigate.turn", _watered_by("gravity-turn")),
        ("answer.irrigate", _always),
        ("answer.irrigate.bare", _always),
    ),
    "top-up": (
        ("answer.ask.flowering", _doubted_standing),
        ("answer.add.perhaps-flowering", _at("unknown")),
        ("answer.add.inlet-only", _because("inlet-only")),
        ("answer.add", _always),
        ("answer.add.bare", _always),
    ),
    "reflood-after-nitrogen": (
        ("answer.nitrogen.asked", _because("dose-above-plan", "area-not-confirmed")),
        ("answer.nitrogen.dose", lambda advice: advice.detail.water_sure is True),
        ("answer.nitrogen", lambda advice: advice.detail.water_sure is True),
        ("answer.nitrogen-when-sure.dose", _always),
        ("answer.nitrogen-when-sure", _always),
        ("answer.nitrogen.bare", _always),
    ),
    "dry-to-fertilise": (("answer.dry-to-fertilise", _always),),
    "fertilise-shallow": (
        ("answer.fertilise-shallow.dose", _always),
        ("answer.fertilise-shallow", _always),
    ),
    "let-out": (
        ("answer.let-out.submerged.long", _long_under),
        ("answer.let-out.submerged", _row("submerged")),
        ("answer.let-out", _always),
        ("answer.let-out.bare", _always),
    ),
    "no-more-water": (("answer.no-more-water", _always), ("answer.no-more-water.bare", _always)),
    "drain": (("answer.drain", _always), ("answer.drain.bare", _always)),
    "ask": (
        ("answer.ask.season", _row("no-season-on-record")),
        ("answer.ask.office", _row("submerged-in-spray-hold")),
        ("answer.ask.bar", _row("salty-canal-water")),
        ("answer.ask.late-supply", _row("no-water-before-threshold")),
        ("answer.ask.no-supply", _row("no-water-before-threshold")),
        ("answer.ask.sprayed", _not_to_enter),
        ("answer.ask.doubted.higher", _doubted_higher),
        ("answer.ask.flowering", _at("flowering")),
        ("answer.ask.flowering.bare", _at("flowering")),
        ("answer.ask.wet.until", _kept_wet),
        ("answer.ask.wet", _at("unknown")),
        ("answer.ask.wet", _kept_wet),
        ("answer.ask.doubted.low", _doubted_low),
        ("answer.ask.doubted", _doubted),
        ("answer.ask", _always),
        ("answer.ask.bare", _always),
    ),
}


def word_advice(advice: Advice, catalogue: Catalogue, name: str | None = None) -> str:
    """One text for any advice, in the catalogue's language.

    ``name``: whom the plot belongs to, for a phone that reads for several growers; it is left out
    where it would cost a segment more.
    """
    plain = _said(advice, catalogue, advice.plot)
    if not name:
        return plain
    named = _said(advice, catalogue, f"{advice.plot} {name}")
    fits = count_segments(named).segments <= count_segments(plain).segments
    return named if fits else plain


def _said(advice: Advice, catalogue: Catalogue, head: str) -> str:
    return say_first(catalogue, _fitting(advice), fields_of(advice, catalogue, head))


def _fitting(advice: Advice) -> Iterator[str]:
    return (msgid for msgid, test in MESSAGES[advice.action] if test(advice))


def fields_of(advice: Advice, catalogue: Catalogue, head: str) -> dict[str, Field]:
    """What the words may ask for, by the names of the places; None where it is not known."""
    detail = advice.detail
    return {
        "head": head,
        "plot": advice.plot,
        "seen": say_seen(advice, catalogue),
        "by": detail.act_by or advice.as_of,
        "look": advice.next_reading_on or advice.as_of,
        "to": advice.flood_to_cm,
        "limit": _limit(advice),
        "until": detail.keep_until,
        "free": detail.not_before,
        "sprayed": detail.sprayed_on,
        "product": detail.product,
        "kg": detail.product_kg,
        "harvest": detail.harvest_on,
        "start": detail.flowering_from,
        "water": detail.next_water_on,
        "starts": detail.runs_from,
    }


def _limit(advice: Advice) -> float | None:
    """The depth at which water is needed, where it lies below the soil."""
    limit = advice.detail.threshold_cm
    return limit if limit is not None and limit < 0 else None
