"""Advice given, with the papers (rules, words) that made it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, bindparam, func, select

from gateway.advisory.records import AdviceRecord, Named, Setting
from gateway.agronomy.advice import Advice
from gateway.store.plain import from_plain, to_plain
from gateway.store.tables.traffic import advice as table
from gateway.store.tables.traffic import paper
from gateway.store.work import Repository, added, added_once

KEEP: Final = added(table)
GET: Final = select(table).where(table.c.id == bindparam("the_advice"))
LATEST: Final = (
    select(table)
    .where(table.c.plot_id == bindparam("the_plot"))
    .order_by(table.c.id.desc())
    .limit(1)
)
PLACE: Final = (
    func.row_number().over(partition_by=table.c.plot_id, order_by=table.c.id.desc()).label("place")
)
LATELY: Final = (
    select(table.c.plot_id, table.c.as_of, table.c.action, table.c.next_reading_on, PLACE)
    .where(table.c.plot_id.in_(bindparam("the_plots", expanding=True)))
    .subquery("lately")
)
NAMED: Final = (
    select(LATELY)
    .where(LATELY.c.place <= bindparam("the_most"))
    .order_by(LATELY.c.plot_id, LATELY.c.place)
)
KEEP_PAPER: Final = added_once(paper, "digest")
PAPER: Final = select(paper.c.files).where(paper.c.digest == bindparam("the_digest"))


class SqlAdvices(Repository):
    """Advice, and the texts of rules and catalogues under their digests."""

    def keep(
        self,
        plot_id: int,
        season_id: int | None,
        scheme_id: int,
        as_of: datetime,
        setting: Setting,
        advice: Advice,
        language: str,
        text: str,
        rules_digest: str,
        words_digest: str,
        text_id: int | None = None,
        topic: str = "",
    ) -> int:
        """Keep an advice as given, with all that is needed to give it again."""
        level = advice.level_cm.p50 if advice.level_cm else advice.detail.seen_cm
        return self.work.number(
            KEEP,
            scheme_id=scheme_id,
            plot_id=plot_id,
            season_id=season_id,
            text_id=text_id,
            as_of=as_of,
            topic=topic,
            stage=advice.stage,
            action=advice.action,
            level_cm=level,
            next_reading_on=advice.next_reading_on,
            setting=to_plain(setting),
            advice=to_plain(advice),
            language=language,
            text=text,
            rules_digest=rules_digest,
            words_digest=words_digest,
        )

    def get(self, advice_id: int) -> AdviceRecord:
        """An advice by its number. Raises NotOnRecord."""
        return advice_record(self.work.need("advice", advice_id, GET, the_advice=advice_id))

    def latest(self, plot_id: int) -> AdviceRecord | None:
        """The advice given last for a plot."""
        row = self.work.row(LATEST, the_plot=plot_id)
        return row and advice_record(row)

    def looks_named(self, plot_ids: Sequence[int], most: int) -> Mapping[int, list[Named]]:
        """What each plot's latest advices called for, the newest first."""
        found: dict[int, list[Named]] = defaultdict(list)
        asked = {"the_plots": list(plot_ids), "the_most": most}
        for row in self.work.rows(NAMED, **asked) if plot_ids else ():
            found[row.plot_id].append(Named(row.as_of, row.action, row.next_reading_on))
        return found

    def keep_paper(self, digest: str, files: Mapping[str, str]) -> None:
        """Keep the text of rules or catalogue under its digest, once."""
        self.work.run(KEEP_PAPER, digest=digest, files=dict(files))

    def paper(self, digest: str) -> Mapping[str, str]:
        """The files kept under a digest. Raises NotOnRecord."""
        files: Mapping[str, str] = self.work.need("paper", digest, PAPER, the_digest=digest).files
        return files


def advice_record(row: Row[Any]) -> AdviceRecord:
    """An advice from its row."""
    return AdviceRecord(
        row.id,
        row.plot_id,
        row.season_id,
        row.scheme_id,
        row.as_of,
        from_plain(Setting, row.setting),
        from_plain(Advice, row.advice),
        row.language,
        row.text,
        row.rules_digest,
        row.words_digest,
        text_id=row.text_id,
        topic=row.topic,
    )
