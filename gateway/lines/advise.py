"""The contract of ``gateway advise``: a case as JSON in, the advice as JSON out."""

from collections.abc import Callable
from datetime import date
from typing import Any

from pydantic import BaseModel, ConfigDict

from gateway.agronomy.advice import Action, Advice, Band, DateBand, Stage
from gateway.agronomy.judge import judge
from gateway.agronomy.rules import RuleBook
from gateway.lines.casemodels import AdviseLine
from gateway.lines.cases import case_from_json, case_to_json, setting_from_json, setting_to_json

__all__ = [
    "AdviseLine",
    "AdviseReply",
    "advice_to_json",
    "advise_line",
    "advise_schema",
    "case_from_json",
    "case_to_json",
    "setting_from_json",
    "setting_to_json",
]

Words = Callable[[Advice], dict[str, str]]


class LevelBand(BaseModel):
    """Levels in cm, + above and - below the surface."""

    p10: float
    p50: float
    p90: float


class DayBand(BaseModel):
    """Days; p10 is the earliest. Null where there is no such day."""

    p10: date | None
    p50: date | None
    p90: date | None


class AdviseReply(BaseModel):
    """The advice: depths in mm, volume in m3, hours of the outlet; texts by language."""

    model_config = ConfigDict(extra="forbid")

    stage: Stage
    action: Action
    reasons: list[str]
    level_cm: LevelBand | None
    threshold_on: DayBand
    next_reading_on: date | None
    flood_to_cm: float | None
    water_mm: float | None
    water_m3: float | None
    hours: float | None
    text: dict[str, str]


def advise_line(text: str, book: RuleBook, words: Words) -> dict[str, Any]:
    """The reply to one line. Raises LineError with the key at fault and its cure."""
    advice = judge(case_from_json(text, book), book)
    return advice_to_json(advice) | {"text": words(advice)}


def advise_schema() -> dict[str, Any]:
    """The JSON Schemas of both directions, under ``input`` and ``output``."""
    return {"input": AdviseLine.model_json_schema(), "output": AdviseReply.model_json_schema()}


def advice_to_json(advice: Advice) -> dict[str, Any]:
    """The numbers of the contract, without the texts."""
    return {
        "stage": advice.stage,
        "action": advice.action,
        "reasons": list(advice.reasons),
        "level_cm": _level(advice.level_cm),
        "threshold_on": _days(advice.threshold_on),
        "next_reading_on": _day(advice.next_reading_on),
        "flood_to_cm": advice.flood_to_cm,
        "water_mm": advice.water_mm,
        "water_m3": advice.water_m3,
        "hours": advice.hours,
    }


def _level(band: Band | None) -> dict[str, float] | None:
    if band is None:
        return None
    return {"p10": round(band.p10, 1), "p50": round(band.p50, 1), "p90": round(band.p90, 1)}


def _days(band: DateBand) -> dict[str, str | None]:
    return {"p10": _day(band.p10), "p50": _day(band.p50), "p90": _day(band.p90)}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
