"""Questions of ours that wait for an answer: one a phone, the newest. ``senders`` reads them."""

from datetime import datetime
from typing import Final

from sqlalchemy import bindparam, select, update

from gateway.store.tables.places import phone
from gateway.store.tables.traffic import question
from gateway.store.work import Repository, added

PUT: Final = added(question).values(
    scheme_id=select(phone.c.scheme_id)
    .where(phone.c.id == bindparam("the_phone"))
    .scalar_subquery(),
    phone_id=bindparam("the_phone"),
)
CLOSE: Final = (
    update(question)
    .where(question.c.id == bindparam("the_question"), question.c.closed_how.is_(None))
    .values(closed_at=bindparam("now"), closed_how=bindparam("how"))
)
REPLACE: Final = (
    update(question)
    .where(
        question.c.phone_id == bindparam("the_phone"),
        question.c.closed_how.is_(None),
        question.c.id != bindparam("the_new"),
    )
    .values(closed_how="replaced")
)


class SqlQuestions(Repository):
    """Open questions, by phone."""

    def put(
        self,
        phone_id: int,
        plot_id: int | None,
        about: str,
        candidates: tuple[float | str, ...],
        valid_until: datetime,
        text_id: int | None,
        level_cm: float | None = None,
        dry: bool = False,
    ) -> int:
        """Ask; an older open question of the phone is closed as replaced by this one."""
        new = self.work.number(
            PUT,
            the_phone=phone_id,
            plot_id=plot_id,
            text_id=text_id,
            about=about,
            candidates=list(candidates),
            level_cm=level_cm,
            dry=dry,
            valid_until=valid_until,
        )
        self.work.run(REPLACE, the_phone=phone_id, the_new=new)
        return new

    def close(self, question_id: int, how: str, now: datetime) -> None:
        """Close a question; one that is closed already stays as it is."""
        self.work.run(CLOSE, the_question=question_id, how=how, now=now)
