"""Let dialogues of joining rest that nobody answered, and forget those that nobody took up."""

from dataclasses import dataclass, replace
from datetime import datetime

from gateway.advisory.decidejoin import tell
from gateway.advisory.joins import Joining
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Scheme


@dataclass(frozen=True, slots=True)
class LapseJoinings:
    """One pass over the dialogues of every scheme; any number of processes may run it."""

    store: Store
    clock: Clock
    papers: Papers

    def __call__(self) -> int:
        """Lapse and forget what is due. Returns how many dialogues it moved."""
        with self.store.begin() as unit:
            now, moved = self.clock.now(), 0
            for scheme in unit.schemes.all():
                moved += self._lapse(unit, scheme, now) + self._forget(unit, scheme, now)
            if moved:
                unit.commit()
        return moved

    def _lapse(self, unit: Unit, scheme: Scheme, now: datetime) -> int:
        rules = self.papers.joining
        due = unit.joinings.standing_still(scheme.id, "underway", now - rules.waits)
        for joining in due:
            # The moment it stood still stays: what was told is kept from there.
            unit.joinings.keep(replace(joining, state="lapsed"), joining.moved_at)
            self._say_so(unit, scheme, joining, now)
        return len(due)

    def _say_so(self, unit: Unit, scheme: Scheme, joining: Joining, now: datetime) -> None:
        # Whoever has not even said yes yet gets nothing that they did not ask for.
        if joining.answers:
            phone, ends = unit.people.phone(joining.phone_id), self.papers.joining.ends
            tell(unit, self.papers, scheme, joining, phone, ends["lapsed"], now)

    def _forget(self, unit: Unit, scheme: Scheme, now: datetime) -> int:
        rules = self.papers.joining
        before = now - rules.waits - rules.kept
        due = unit.joinings.standing_still(scheme.id, "lapsed", before)
        for joining in due:
            unit.joinings.settle(joining.id, "dropped", "nobody went on", None, now)
        return len(due)
