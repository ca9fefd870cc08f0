"""The customs of the office: hours and limits. Built from flows/office.yaml."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zlib import crc32
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class Customs:
    """How the office keeps its word. Times of day are in the scheme's own zone.

    ``quiet_spread``: what waited for the morning leaves within so long of it, phone by phone.
    """

    quiet_from: time
    quiet_to: time
    quiet_spread: timedelta
    question_valid: timedelta
    answer_valid: timedelta
    stranger_between: timedelta
    strangers_a_day: int
    unclear_a_day: int
    reading_late_days: int
    no_water_days: int
    lease: timedelta
    most_at_once: int
    try_again: tuple[timedelta, ...]
    receipt_wait: timedelta
    dialogue_resume: timedelta

    def is_quiet(self, moment: datetime, zone: str) -> bool:
        """Whether the office keeps silent at ``moment`` (aware) in that zone."""
        local = moment.astimezone(ZoneInfo(zone)).time()
        if self.quiet_from <= self.quiet_to:
            return self.quiet_from <= local < self.quiet_to
        return local >= self.quiet_from or local < self.quiet_to

    def next_open(self, moment: datetime, zone: str) -> datetime:
        """``moment`` itself, or the end of the quiet hours that it falls into. Aware, in UTC."""
        if not self.is_quiet(moment, zone):
            return moment
        local = moment.astimezone(ZoneInfo(zone))
        opens = local.replace(
            hour=self.quiet_to.hour, minute=self.quiet_to.minute, second=0, microsecond=0
        )
        if opens <= local:
            opens = (opens.replace(tzinfo=None) + timedelta(days=1)).replace(tzinfo=local.tzinfo)
        return opens.astimezone(moment.tzinfo)


def spread_of(phone_id: int, span: timedelta) -> timedelta:
    """How long after the hour a phone's texts leave: the same for a phone, even over phones."""
    share = crc32(str(phone_id).encode()) / 2**32
    return timedelta(seconds=round(share * span.total_seconds()))
