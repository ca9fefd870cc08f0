"""One unit of work: the repositories on one connection."""

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
from gateway.store.work import Work


class SqlUnit:
    """Repositories that share a transaction; after ``commit`` the next use begins another."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.schemes = SqlSchemes(work)
        self.register = SqlRegister(work)
        self.people = SqlPeople(work)
        self.texts = SqlTexts(work)
        self.books = SqlBooks(work)
        self.questions = SqlQuestions(work)
        self.advices = SqlAdvices(work)
        self.outbox = SqlOutbox(work)
        self.receipts = SqlReceipts(work)
        self.duties = SqlDuties(work)
        self.rounds = SqlRounds(work)
        self.dialogues = SqlDialogues(work)
        self.office = SqlOffice(work)
        self.broadcasts = SqlBroadcasts(work)
        self.spending = SqlSpending(work)
        self.joinings = SqlJoinings(work)
        self.consents = SqlConsents(work)
        self.outlets = SqlOutlets(work)
        self.pauses = SqlPauses(work)
        self.block_facts = SqlBlockFacts(work)
        self.recalls = SqlRecalls(work)

    def commit(self) -> None:
        """Make everything since the last commit stand."""
        self.work.conn.commit()

    def rollback(self) -> None:
        """Undo everything since the last commit; the next use begins another transaction."""
        self.work.conn.rollback()
