"""What is known of how a plot loses water, as plain values that may be kept."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Belief:
    """What is known of a plot's habit between spells: means and covariance of theta, as a row."""

    mean: tuple[float, ...]
    covariance: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Posterior:
    """What the finished dry-downs of a season taught, and the sign of what it follows from."""

    sign: str
    belief: Belief
