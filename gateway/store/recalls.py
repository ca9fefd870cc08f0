"""Who got texts that rest on something that was wrong: rules, weather, or a sheet."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import BindParameter, Select, bindparam, func, select

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.mending import Concern, Misled, Suspect
from gateway.store.columns import Utc
from gateway.store.numbers import open_number
from gateway.store.tables.crop import season, weather
from gateway.store.tables.mending import recall
from gateway.store.tables.office import audit, duty, duty_text
from gateway.store.tables.places import phone, plot
from gateway.store.tables.traffic import advice, outbox
from gateway.store.work import Repository, added_once

THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
SINCE: Final = bindparam("since", type_=Utc())
ADD: Final = added_once(recall, "scheme_id", "about", "name")
DONE: Final = select(recall.c.about, recall.c.name, recall.c.at).where(
    recall.c.scheme_id == THE_SCHEME
)
RULES: Final = (
    select(
        advice.c.rules_digest,
        func.min(advice.c.as_of).label("since"),
        func.max(advice.c.as_of).label("last"),
        func.count().label("texts"),
    )
    .where(advice.c.scheme_id == THE_SCHEME)
    .group_by(advice.c.rules_digest)
    .order_by(func.max(advice.c.as_of).desc())
)
LOADS: Final = (
    select(weather.c.source, weather.c.recorded_at, func.count().label("days"))
    .where(weather.c.scheme_id == THE_SCHEME)
    .group_by(weather.c.source, weather.c.recorded_at)
    .order_by(weather.c.recorded_at.desc())
    .limit(bindparam("the_most"))
)
later = weather.alias("later")
# For each day of a load, when something newer became known of it; None: it is still in use.
REPLACED: Final = (
    select(func.min(later.c.recorded_at).label("replaced"))
    .select_from(weather)
    .outerjoin(
        later,
        (later.c.scheme_id == weather.c.scheme_id)
        & (later.c.on == weather.c.on)
        & (later.c.recorded_at > weather.c.recorded_at),
    )
    .where(
        weather.c.scheme_id == THE_SCHEME,
        weather.c.source == bindparam("the_source"),
        weather.c.recorded_at == SINCE,
    )
    .group_by(weather.c.on)
)
IMPORTS: Final = (
    select(audit.c.at, audit.c.on)
    .where(audit.c.scheme_id == THE_SCHEME, audit.c.what == "sheet enrolled")
    .order_by(audit.c.id.desc())
    .limit(bindparam("the_most"))
)
OF_IMPORT: Final = select(audit.c.on).where(audit.c.scheme_id == THE_SCHEME, audit.c.at == SINCE)
ADVICES: Final = select(func.count()).where(
    advice.c.scheme_id == THE_SCHEME, advice.c.as_of >= SINCE
)
TO: Final = (phone.c.id, phone.c.number, phone.c.language, phone.c.letters, phone.c.left_at)
SENT: Final = (outbox.c.scheme_id == THE_SCHEME, outbox.c.sent_at.is_not(None))
# An advice as a text of its own, and as one of a digest that answered the same text.
OWN: Final = (
    select(*TO, plot.c.code, advice.c.as_of.label("at"))
    .select_from(advice)
    .join(outbox, outbox.c.advice_id == advice.c.id)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .join(plot, plot.c.id == advice.c.plot_id)
    .where(*SENT)
)
DIGEST: Final = (
    select(*TO, plot.c.code, advice.c.as_of.label("at"))
    .select_from(advice)
    .join(outbox, outbox.c.in_reply_to == advice.c.text_id)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .join(plot, plot.c.id == advice.c.plot_id)
    .where(*SENT, outbox.c.topic.in_(("digest", "more")))
)
REMINDER: Final = (
    select(*TO, plot.c.code, outbox.c.sent_at.label("at"))
    .select_from(outbox)
    .join(duty_text, duty_text.c.parcel_id == outbox.c.id)
    .join(duty, duty.c.id == duty_text.c.duty_id)
    .join(season, season.c.id == duty.c.season_id)
    .join(plot, plot.c.id == season.c.plot_id)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .where(*SENT)
)


@dataclass(frozen=True, slots=True)
class Span:
    """What is called back: advice by a digest, or of a time; of all plots, or of some."""

    since: datetime
    until: datetime | None = None
    digest: str | None = None
    plots: frozenset[str] | None = None

    def of(self, statement: Select[Any], at: Any, digest: Any = None) -> Select[Any]:
        """The statement for this span."""
        if self.digest is not None and digest is not None:
            return statement.where(digest == self.digest)
        narrowed = statement.where(at >= self.since)
        if self.until is not None:
            narrowed = narrowed.where(at < self.until)
        return narrowed


class SqlRecalls(Repository):
    """Suspects, who was misled by one, and which were called back."""

    def suspects(self, scheme_id: int, most: int) -> list[Suspect]:
        """The newest versions of the rules, loads of weather and sheets of plots."""
        asked: dict[str, Any] = {"the_scheme": scheme_id}
        done = {(row.about, row.name): row.at for row in self.work.rows(DONE, **asked)}
        found = [
            Suspect("rules", r.rules_digest, f"rules {r.rules_digest[:12]}", r.since, r.texts)
            for r in self.work.rows(RULES, **asked)[:most]
        ]
        for row in self.work.rows(LOADS, the_most=most, **asked):
            title = f"{row.source}, {row.days} {'day' if row.days == 1 else 'days'}"
            name = _name(row.recorded_at, row.source)
            many = self.work.number(ADVICES, since=row.recorded_at, **asked)
            found.append(Suspect("weather", name, title, row.recorded_at, many))
        for row in self.work.rows(IMPORTS, the_most=most, **asked):
            sheet = str(row.on.get("sheet"))
            many = self.work.number(ADVICES, since=row.at, **asked)
            found.append(Suspect("import", _name(row.at, sheet), sheet, row.at, many))
        return [_recalled(each, done.get((each.about, each.name))) for each in found]

    def misled(self, scheme_id: int, about: Concern, name: str) -> list[Misled]:
        """The phones that were sent advice or a reminder resting on it. Raises NotOnRecord."""
        span = self._span(scheme_id, about, name)
        asked = {"the_scheme": scheme_id}
        statements = (
            span.of(OWN, advice.c.as_of, advice.c.rules_digest),
            span.of(DIGEST, advice.c.as_of, advice.c.rules_digest),
            span.of(REMINDER, outbox.c.sent_at),
        )
        rows = [row for each in statements for row in self.work.rows(each, **asked)]
        wanted = span.plots
        return self._by_phone(row for row in rows if wanted is None or row.code in wanted)

    def add(self, scheme_id: int, about: Concern, name: str, by: str, now: datetime) -> int | None:
        """Note that they are called back; None where that was done already."""
        return self.work.number_or_none(
            ADD, scheme_id=scheme_id, about=about, name=name, by=by, at=now
        )

    # -- which texts ------------------------------------------------------------------------------

    def _span(self, scheme_id: int, about: Concern, name: str) -> Span:
        spans = {"rules": self._of_rules, "weather": self._of_weather, "import": self._of_import}
        return spans[about](scheme_id, name)

    def _of_rules(self, scheme_id: int, name: str) -> Span:
        """By digest; reminders from the first advice by it to the first by another after it."""
        rows = self.work.rows(RULES, the_scheme=scheme_id)
        own = next((row for row in rows if row.rules_digest == name), None)
        if own is None:
            raise NotOnRecord("version of the rules", name[:12])
        after = [row.since for row in rows if row.since > own.last]
        return Span(own.since, min(after, default=None), digest=name)

    def _of_weather(self, scheme_id: int, name: str) -> Span:
        since, source = _parts(name)
        rows = self.work.rows(REPLACED, the_scheme=scheme_id, the_source=source, since=since)
        if not rows:
            raise NotOnRecord("weather", name)
        replaced = [row.replaced for row in rows]
        return Span(since, None if None in replaced else max(replaced))

    def _of_import(self, scheme_id: int, name: str) -> Span:
        """The plots that the sheet brought or changed, from then on."""
        since, sheet = _parts(name)
        rows = self.work.rows(OF_IMPORT, the_scheme=scheme_id, since=since)
        noted = [row.on for row in rows if row.on.get("sheet") == sheet]
        if not noted:
            raise NotOnRecord("sheet", name)
        codes: set[str] = set()
        for on in noted:
            told = (on.get("plot"), on.get("season"), on.get("reader"), on.get("new plots"))
            codes.update(word for each in told if each for word in str(each).split())
        return Span(since, plots=frozenset(codes))

    def _by_phone(self, rows: Iterable[Any]) -> list[Misled]:
        found: dict[int, list[Any]] = {}
        for row in rows:
            found.setdefault(row.id, []).append(row)
        return [
            Misled(
                number,
                open_number(those[0].number, self.work.keys),
                those[0].language,
                those[0].letters,
                those[0].left_at is not None,
                min(row.at for row in those),
                tuple(sorted({row.code for row in those})),
            )
            for number, those in sorted(found.items())
        ]


def _recalled(found: Suspect, at: datetime | None) -> Suspect:
    return Suspect(found.about, found.name, found.title, found.since, found.texts, at)


def _name(at: datetime, what: str) -> str:
    return f"{at.isoformat()} {what}"


def _parts(name: str) -> tuple[datetime, str]:
    """Raises NotOnRecord for what is no such name."""
    at, _, what = name.partition(" ")
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        raise NotOnRecord("source", name) from None
    if moment.tzinfo is None:
        raise NotOnRecord("source", name)
    return moment, what
