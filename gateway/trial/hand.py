"""What a grower writes about a level: in words or signs, plainly or so that we must ask."""

from random import Random

from gateway.trial.paper import Hand


def pick(forms: tuple[str, ...], rng: Random, plot: str, n: float = 0) -> str:
    """One of the forms, filled in."""
    return rng.choice(forms).format(plot=plot, n=f"{n:g}")


def write_level(hand: Hand, rng: Random, plot: str, level_cm: float | None) -> str:
    """A reading (cm, signed) as a grower writes it; None is a tube without water."""
    if level_cm is None:
        return pick(hand.dry, rng, plot)
    if level_cm == 0:
        return pick(hand.surface, rng, plot)
    return pick(hand.below if level_cm < 0 else hand.above, rng, plot, abs(level_cm))


def write_unclearly(
    hand: Hand, rng: Random, plot: str, level_cm: float | None
) -> tuple[str, str] | None:
    """A reading without its sign, and the word that settles it; None where it has no sign."""
    if not level_cm:
        return None
    word = hand.below_word if level_cm < 0 else hand.above_word
    return pick(hand.unclear, rng, plot, abs(level_cm)), rng.choice(word)
