"""An advice explained on the command line, in plain lines."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date, datetime
from zoneinfo import ZoneInfo

from gateway.advisory.explain import Explanation, RulesOfThen
from gateway.advisory.records import BookRow, Setting
from gateway.agronomy.book import Event


def explain_text(explanation: Explanation) -> str:
    """What was known, what was judged, what was said, and whether it comes out the same again."""
    record, again = explanation.record, explanation.again
    lines = [
        f"advice {record.id} for plot {record.setting.plot.code}, "
        f"as of {_local(record.as_of, explanation.zone)}",
        f"all times are those of {explanation.zone}",
        f"rules {record.rules_digest[:12]}, words {record.words_digest[:12]} ({record.language})",
        *_stood_in(explanation.rules),
        "",
        "known of the plot by then:",
        *(f"  {_row(row, explanation.zone)}" for row in explanation.rows),
        *(["  nothing"] if not explanation.rows else []),
        *_allowed(record.setting),
        "",
        f"stage {again.stage}, action {again.action}",
        f"reasons: {', '.join(again.reasons)}",
        *_numbers(explanation),
        "",
        f"sent:  {record.text}",
        f"again: {explanation.text_again}",
        "the same" if explanation.same else "not the same",
    ]
    return "\n".join(lines)


def _stood_in(rules: RulesOfThen) -> Iterator[str]:
    """What the rules of that day do not tell this program, or it them."""
    if rules.filled:
        yield f"they lack, so that today's stands in for it: {', '.join(rules.filled)}"
    if rules.left_out:
        yield f"they name what is read no more: {', '.join(rules.left_out)}"


def _allowed(setting: Setting) -> Iterator[str]:
    """Who answers for the dry limit and for the nitrogen, where somebody is named."""
    raised, season = setting.plot.threshold_raised, setting.season
    if raised is not None:
        yield f"deeper dry limit {setting.plot.threshold_cm:g} cm: {raised}"
    if season is not None and season.nitrogen:
        yield f"nitrogen: {season.nitrogen_approved or 'nobody is named who approved it'}"


def _local(moment: datetime, zone: str) -> str:
    return moment.astimezone(ZoneInfo(zone)).strftime("%Y-%m-%d %H:%M")


def _row(row: BookRow, zone: str) -> str:
    gone = ", replaced by then" if row.superseded else ""
    return f"{_event(row.event)} (written {_local(row.recorded_at, zone)} by {row.by}{gone})"


def _event(event: Event) -> str:
    shown = {
        name: value
        for name, value in asdict(event).items()
        if value is not None and value is not False and name not in ("kind", "on", "at")
    }
    when = event.on.isoformat() + (f" {event.at:%H:%M}" if event.at else "")
    return " ".join([when, event.kind, *(f"{name}={value}" for name, value in shown.items())])


def _numbers(explanation: Explanation) -> list[str]:
    advice = explanation.again
    numbers: dict[str, float | date | None] = {
        "level_cm p50": advice.level_cm.p50 if advice.level_cm else None,
        "threshold_on p50": advice.threshold_on.p50,
        "next_reading_on": advice.next_reading_on,
        "flood_to_cm": advice.flood_to_cm,
        "water_mm": advice.water_mm,
        "water_m3": advice.water_m3,
        "hours": advice.hours,
    }
    return [f"{name}: {_shown(value)}" for name, value in numbers.items() if value is not None]


def _shown(value: float | date) -> str:
    return value.isoformat() if isinstance(value, date) else f"{round(value, 1):g}"
