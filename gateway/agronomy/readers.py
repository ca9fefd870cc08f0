"""How far each reader's readings stray, learned from the dry-downs of the plot that are over.

Three levels on one side of the surface with no rain between them lie on a line, but for what a
day's loss strays and for how they were read. What the middle one lies off that line tells of its
reader. The dry-down that runs teaches nothing here: a reading must not make itself be believed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

from gateway.agronomy.balance import Balance
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Sign, groups_of

MOST_OFF: Final = 3.0  # standard deviations that a gross error counts for at most
SHARED: Final = 2.0  # neighbours tell of each other, so that a reading counts for half
LEAST, MOST = 0.5, 3.0  # of the usual noise: no reader is taken for better or worse


@dataclass(slots=True)
class Strays:
    """What a reader's readings taught: sums of weight and of weighted squares in cm2.

    ``usual_cm`` is the noise of a reader of whom nothing is known, ``noise_cm`` this one's.
    """

    usual_cm: float
    noise_cm: float
    readings: int = 0
    weight: float = 0.0
    squares: float = 0.0

    def next_cm(self, model: Model) -> float:
        """The noise of the reader's next reading in cm; the first few count for less."""
        self.readings += 1
        few = self.readings <= model.first_readings
        return max(self.noise_cm, model.first_noise_cm) if few else self.noise_cm

    def add(self, off_cm: float, else_cm2: float, model: Model) -> None:
        """Count how far a reading lay off; ``else_cm2`` of its variance is not the reader's."""
        usual, doubt = self.usual_cm**2, model.first_readings
        whole = usual + else_cm2
        part = usual / whole
        self.weight += part / SHARED
        self.squares += part / SHARED * part * min(off_cm * off_cm, MOST_OFF**2 * whole)
        learned = (doubt * usual + self.squares) / (doubt + self.weight)
        self.noise_cm = sqrt(min(max(learned, LEAST**2 * usual), MOST**2 * usual))


def by_reader(signs: Sequence[Sign], balance: Balance, model: Model) -> list[Sign]:
    """The signs, each reading with the noise that is known of its reader before its dry-down."""
    if not any(sign.reader for sign in signs):
        return list(signs)
    known: dict[str, Strays] = {}
    found: list[Sign] = []
    for spell in groups_of(signs):
        told = [_told(sign, known, model) for sign in spell]
        for sign, off, other in _offs(told, balance, model):
            known[sign.reader or ""].add(off, other, model)
        found += told
    return found


def _told(sign: Sign, known: dict[str, Strays], model: Model) -> Sign:
    if sign.flooded or not sign.reader:
        return sign
    strays = known.get(sign.reader)
    if strays is None:
        usual = model.reading_noise_cm
        strays = known[sign.reader] = Strays(usual, usual)
    return Sign(sign.time, sign.level_cm, strays.next_cm(model), dry=sign.dry, reader=sign.reader)


def _offs(
    spell: Sequence[Sign], balance: Balance, model: Model
) -> Iterator[tuple[Sign, float, float]]:
    """Each reading that may be held against its neighbours, how far it lies off, and why else."""
    for one, sign, other in zip(spell, spell[1:], spell[2:], strict=False):
        if sign.reader and _straight((one, sign, other), balance):
            share = (sign.time - one.time) / (other.time - one.time)
            fall = other.level_cm - one.level_cm
            bend = model.day_doubt * fall
            doubt = ((1 - share) * one.doubt_cm) ** 2 + (share * other.doubt_cm) ** 2
            yield sign, sign.level_cm - one.level_cm - share * fall, doubt + bend * bend


def _straight(signs: Sequence[Sign], balance: Balance) -> bool:
    """Whether levels lie on a line but for their noise."""
    first, last = signs[0].time, signs[-1].time
    if last <= first or any(sign.dry for sign in signs):
        return False
    levels = [sign.level_cm for sign in signs]
    one_side = min(levels) >= 0 or max(levels) <= 0
    return one_side and balance.between(first, last)[1] <= 0
