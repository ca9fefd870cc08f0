"""Write what a reader saw into the event book of the plot."""

from datetime import date, timedelta

from gateway.advisory.talk import Talk
from gateway.agronomy.book import Event
from gateway.messages.heard import Reading


def write_readings(talk: Talk, readings: tuple[Reading, ...]) -> list[str]:
    """Append each reading to its plot's book. Returns the codes of the plots it touched."""
    for reading in readings:
        write_event(
            talk,
            reading.plot,
            Event(
                "reading",
                day_of(reading.on, talk.today),
                at=talk.local.time().replace(second=0, microsecond=0)
                if is_now(reading.on)
                else None,
                level_cm=reading.level_cm,
                dry=reading.dry,
                reader=sign_of(talk.kept.phone.id),
            ),
            supersedes=corrected_row(talk, reading) if reading.supersedes else None,
        )
    return list(dict.fromkeys(reading.plot for reading in readings))


def sign_of(phone_id: int) -> str:
    """By what the book knows who read: how far each reader's readings stray is learned apart."""
    return f"phone {phone_id}"


def write_event(talk: Talk, code: str, event: Event, supersedes: int | None = None) -> None:
    """Append one event of this text to the plot's book."""
    talk.written.add(code)
    talk.unit.books.append(
        talk.plots[code].plot_id, event, "reader", talk.now, talk.kept.id, supersedes
    )


def corrected_row(talk: Talk, reading: Reading) -> int | None:
    """The reading that a correction points back to: the plot's last one, or that day's."""
    rows = [
        row
        for row in talk.unit.books.rows(talk.plots[reading.plot].plot_id)
        if row.event.kind == "reading" and not row.superseded
    ]
    if reading.on is not None:
        day = day_of(reading.on, talk.today)
        rows = [row for row in rows if row.event.on == day]
    return max(rows, key=lambda row: row.id).id if rows else None


def is_now(on: str | None) -> bool:
    """Whether the text speaks of the day it came."""
    return on in (None, "today")


def day_of(on: str | None, today: date) -> date:
    """The day a text speaks of. A day and month without a year is the latest one gone by."""
    if on in (None, "today"):
        return today
    if on == "yesterday":
        return today - timedelta(days=1)
    if on.startswith("--"):
        month, day = int(on[2:4]), int(on[5:7])
        this_year = date(today.year, month, day)
        return this_year if this_year <= today else date(today.year - 1, month, day)
    if on.startswith("-"):
        return today + timedelta(days=int(on))
    return date.fromisoformat(on)
