"""flows/office.yaml becomes the customs of the office."""

from datetime import time, timedelta
from pathlib import Path

from gateway.advisory.customs import Customs
from gateway.flowfiles.reader import Entry, read_file


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
        "no_water_days",
        "dispatch",
        "dialogue_resume_minutes",
    )
    quiet, strangers, sending = top.need("quiet_hours"), top.need("strangers"), top.need("dispatch")
    quiet.keys("from", "to", "spread_minutes")
    strangers.keys("days_between", "most_a_day")
    sending.keys("lease_seconds", "most_at_once", "try_again_minutes", "receipt_wait_hours")
    return Customs(
        quiet_from=read_time(quiet.need("from")),
        quiet_to=read_time(quiet.need("to")),
        quiet_spread=timedelta(minutes=quiet.need("spread_minutes").whole(0, 180, "minutes")),
        question_valid=timedelta(hours=top.need("question_valid_hours").whole(1, 168, "hours")),
        answer_valid=timedelta(hours=top.need("answer_valid_hours").whole(1, 168, "hours")),
        stranger_between=timedelta(days=strangers.need("days_between").whole(1, 365, "days")),
        strangers_a_day=strangers.need("most_a_day").whole(0, 100_000),
        unclear_a_day=top.need("unclear_most_a_day").whole(0, 50),
        reading_late_days=top.need("reading_late_days").whole(0, 60, "days"),
        no_water_days=top.need("no_water_days").whole(1, 60, "days"),
        lease=timedelta(seconds=sending.need("lease_seconds").whole(5, 3600, "seconds")),
        most_at_once=sending.need("most_at_once").whole(1, 1000),
        try_again=_waits(sending.need("try_again_minutes")),
        receipt_wait=timedelta(hours=sending.need("receipt_wait_hours").whole(1, 720, "hours")),
        dialogue_resume=timedelta(
            minutes=top.need("dialogue_resume_minutes").whole(0, 60, "minutes")
        ),
    )


def read_time(entry: Entry) -> time:
    """A time of day written as "HH:MM" on the 24-hour clock."""
    try:
        return time.fromisoformat(entry.text()).replace(second=0, microsecond=0)
    except ValueError:
        return entry.fail(f'need a time such as "05:30", got {entry.text()!r}')


def _waits(entry: Entry) -> tuple[timedelta, ...]:
    return tuple(timedelta(minutes=wait.number(0.05, 1440, "minutes")) for wait in entry.list())
