"""flows/office.yaml and flows/calendar.yaml become the customs of the office."""

from collections.abc import Mapping
from datetime import time, timedelta
from pathlib import Path
from typing import cast

from gateway.advisory.customs import Anchor, Customs, DutyCalendar, DutyRule
from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.catalogue import Catalogue

ANCHORS = ("flowering-window",)


def load_customs(flows: Path) -> Customs:
    """The customs in ``flows/office.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / "office.yaml")
    top.keys(
        "quiet_hours",
        "question_valid_hours",
        "answer_valid_hours",
        "strangers",
        "unclear_most_a_day",
        "reading_late_days",
        "dispatch",
        "dialogue_resume_minutes",
    )
    quiet, strangers, sending = top.need("quiet_hours"), top.need("strangers"), top.need("dispatch")
    quiet.keys("from", "to")
    strangers.keys("days_between", "most_a_day")
    sending.keys("lease_seconds", "most_at_once", "try_again_minutes", "receipt_wait_hours")
    return Customs(
        quiet_from=read_time(quiet.need("from")),
        quiet_to=read_time(quiet.need("to")),
        question_valid=timedelta(hours=top.need("question_valid_hours").whole(1, 168, "hours")),
        answer_valid=timedelta(hours=top.need("answer_valid_hours").whole(1, 168, "hours")),
        stranger_between=timedelta(days=strangers.need("days_between").whole(1, 365, "days")),
        strangers_a_day=strangers.need("most_a_day").whole(0, 100_000),
        unclear_a_day=top.need("unclear_most_a_day").whole(0, 50),
        reading_late_days=top.need("reading_late_days").whole(0, 60, "days"),
        lease=timedelta(seconds=sending.need("lease_seconds").whole(5, 3600, "seconds")),
        most_at_once=sending.need("most_at_once").whole(1, 1000),
        try_again=_waits(sending.need("try_again_minutes")),
        receipt_wait=timedelta(hours=sending.need("receipt_wait_hours").whole(1, 720, "hours")),
        dialogue_resume=timedelta(
            minutes=top.need("dialogue_resume_minutes").whole(0, 60, "minutes")
        ),
    )


def load_duties(flows: Path) -> DutyCalendar:
    """The duties in ``flows/calendar.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / "calendar.yaml")
    top.keys("anchor_moved_days", "duties")
    return DutyCalendar(
        anchor_moved_days=top.need("anchor_moved_days").whole(0, 30, "days"),
        duties={name: _duty(name, entry) for name, entry in top.need("duties").items()},
    )


def check_duties(flows: Path, catalogues: Mapping[str, Catalogue]) -> list[str]:
    """Every duty whose text a language does not have, with file, line and cure."""
    mistakes = []
    for _name, entry in read_file(flows / "calendar.yaml").need("duties").items():
        text = entry.need("text")
        for language, catalogue in catalogues.items():
            if not catalogue.has(text.text()):
                mark = text.node.start_mark
                place = f"{text.path}:{mark.line + 1}:{mark.column + 1}"
                mistakes.append(f"{place} text: no such text in {language}: {text.text()}")
    return mistakes


def read_time(entry: Entry) -> time:
    """A time of day written as "HH:MM" on the 24-hour clock."""
    try:
        return time.fromisoformat(entry.text()).replace(second=0, microsecond=0)
    except ValueError:
        return entry.fail(f'need a time such as "05:30", got {entry.text()!r}')


def _waits(entry: Entry) -> tuple[timedelta, ...]:
    return tuple(timedelta(minutes=wait.number(0.05, 1440, "minutes")) for wait in entry.list())


def _duty(name: str, entry: Entry) -> DutyRule:
    entry.keys("anchor", "owed_days_before", "hour", "valid_days", "text", "safety", "why")
    return DutyRule(
        name=name,
        anchor=cast(Anchor, entry.need("anchor").choice(*ANCHORS)),
        owed_days_before=entry.need("owed_days_before").whole(0, 60, "days"),
        hour=read_time(entry.need("hour")),
        valid_days=entry.need("valid_days").whole(1, 60, "days"),
        text=entry.need("text").text(),
        safety=entry.need("safety").flag(),
        why=entry.need("why").text(),
    )
