"""One unit of work: the repositories on one connection."""

from typing import Generic, TypeVar

from gateway.store.advices import SqlAdvices
from gateway.store.blockfacts import SqlBlockFacts
from gateway.store.books import SqlBooks
from gateway.store.broadcasts import SqlBroadcasts
from gateway.store.consents import SqlConsents
from gateway.store.dialogues import SqlDialogues
from gateway.store.duties import SqlDuties
from gateway.store.joinings import SqlJoinings
from gateway.store.office import SqlOffice
from gateway.store.outbox import SqlOutbox
from gateway.store.outlets import SqlOutlets
from gateway.store.pauses import SqlPauses
from gateway.store.people import SqlPeople
from gateway.store.questions import SqlQuestions
from gateway.store.recalls import SqlRecalls
from gateway.store.receipts import SqlReceipts
from gateway.store.register import SqlRegister
from gateway.store.rounds import SqlRounds
from gateway.store.schemes import SqlSchemes
from gateway.store.spending import SqlSpending
from gateway.store.texts import SqlTexts
from gateway.store.work import Repository, Work

R = TypeVar("R", bound=Repository)


class Part(Generic[R]):
    """A repository of a unit of work, made when it is first asked for: a text needs six of them."""

    def __init__(self, kind: type[R]) -> None:
        self._kind = kind

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    def __get__(self, unit: "SqlUnit", owner: type) -> R:
        """The repository of that unit; the next time the unit's own attribute answers."""
        made = unit.__dict__[self._name] = self._kind(unit.work)
        return made


class SqlUnit:
    """Repositories that share a transaction; after ``commit`` the next use begins another."""

    schemes = Part(SqlSchemes)
    register = Part(SqlRegister)
    people = Part(SqlPeople)
    texts = Part(SqlTexts)
    books = Part(SqlBooks)
    questions = Part(SqlQuestions)
    advices = Part(SqlAdvices)
    outbox = Part(SqlOutbox)
    receipts = Part(SqlReceipts)
    duties = Part(SqlDuties)
    rounds = Part(SqlRounds)
    dialogues = Part(SqlDialogues)
    office = Part(SqlOffice)
    broadcasts = Part(SqlBroadcasts)
    spending = Part(SqlSpending)
    joinings = Part(SqlJoinings)
    consents = Part(SqlConsents)
    outlets = Part(SqlOutlets)
    pauses = Part(SqlPauses)
    block_facts = Part(SqlBlockFacts)
    recalls = Part(SqlRecalls)

    def __init__(self, work: Work) -> None:
        self.work = work

    def commit(self) -> None:
        """Make everything since the last commit stand."""
        self.work.conn.commit()

    def rollback(self) -> None:
        """Undo everything since the last commit; the next use begins another transaction."""
        self.work.conn.rollback()
