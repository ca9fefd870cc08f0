"""The numbers of the water model, hashable so that what was learned may be remembered by them."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Model:
    """What the estimate takes for granted. Standard deviations unless said otherwise.

    ``guesses`` is how many guesses a plot has. ``storage_median`` (mm per cm below the surface) and
    ``storage_spread`` (of the logarithm), ``use_spread`` (of the logarithm of the crop's use
    against its demand), ``rate_per_cm`` and ``rate_spread`` (how a fall costs more water with
    depth) are the prior; seepage comes by soil. ``storage_with_seepage`` is the correlation of
    both: what leaks fast also holds more water between its grains. ``loss_below`` is the share
    of its ponded loss that a plot still loses once its water is below the surface, with its spread
    (of the logarithm). ``change_*`` is how far a plot may change from one dry-down to the next, and
    from season to season as far as in ``changes_between_seasons`` of them.

    ``reading_noise_cm``, ``first_noise_cm`` for the ``first_readings`` readings of a plot, and
    ``flood_doubt_cm`` are noise of levels; ``day_doubt`` the share of a day's loss, ``rain_doubt``
    of a day's rain, that nobody foresees; ``block_flood_doubt_cm`` and ``block_rain_doubt`` stand
    in their place where a flooding or rain was told of a whole block. ``surprise``: a reading
    further off than so many standard deviations pulls no harder. ``jump_cm``: how far a reading
    that surprised may still be right;
    ``reach_cm``: how far outside its band it may move a date.
    ``doubtful_share``: a reading that fewer of the guesses explain is doubted. A flooding without
    its depth is taken to reach ``flooded_to_cm``; rain fills the plot no higher than its bund,
    ``bund_cm``. A day's rain that was forecast fails by the chance ``forecast_rain_missed``, and as
    large a part of the rain comes unforeseen; it strays by ``forecast_rain_spread`` (of the
    logarithm).
    """

    guesses: int
    storage_median: float
    storage_spread: float
    storage_with_seepage: float
    loss_below: float
    loss_below_spread: float
    use_spread: float
    rate_per_cm: float
    rate_spread: float
    change_of_loss: float
    change_of_storage: float
    change_of_use: float
    change_of_rate: float
    changes_between_seasons: float
    reading_noise_cm: float
    first_noise_cm: float
    first_readings: int
    flood_doubt_cm: float
    block_flood_doubt_cm: float
    flooded_to_cm: float
    day_doubt: float
    rain_doubt: float
    block_rain_doubt: float
    forecast_rain_missed: float
    forecast_rain_spread: float
    surprise: float
    jump_cm: float
    reach_cm: float
    doubtful_share: float
    bund_cm: float

    @property
    def block_rain_wider(self) -> float:
        """By what the square of a day's rain counts for more where it was told of the block."""
        return (self.block_rain_doubt / self.rain_doubt) ** 2


@dataclass(frozen=True, slots=True)
class LookPractice:
    """How the day to read again is weighed, and when a plot is watered a day before its threshold.

    Costs count in readings: ``late_cost`` of finding a plot more than ``late_cm`` below its
    threshold, ``again_cost`` of a reading that leads only to another, ``early_cost`` of water at
    more than ``early_cm`` above the threshold. ``*_unknown`` stand in their place while a plot has
    fewer than ``known_levels`` (readings below the surface and floodings on record): its forecast
    is too wide for readings to make all of it safe. Where tomorrow is by ``past_chance`` past
    the threshold, a plot with those levels is watered if that costs less than to wait, and if it is
    within ``ripe_cm`` of the threshold, or tomorrow by ``late_chance`` too deep, or, with twice
    those levels and within ``near_cm``, tomorrow likely (``likely_chance``) past it; one without
    them within ``ripe_cm`` where tomorrow is likely too deep. A look is reckoned to lead to water
    from ``near_cm`` above the threshold on. ``bins`` is how many levels a look is reckoned to tell
    apart. Beyond ``fast_cm_d`` a daily look comes too late.
    """

    late_cost: float
    late_cost_unknown: float
    again_cost: float
    again_cost_unknown: float
    late_cm: float
    early_cost: float
    early_cm: float
    ripe_cm: float
    late_chance: float
    past_chance: float
    likely_chance: float
    near_cm: float
    known_levels: int
    bins: int
    fast_cm_d: float

    def of_unknown(self) -> "LookPractice":
        """The same for a plot whose fall is not known yet."""
        return replace(self, late_cost=self.late_cost_unknown, again_cost=self.again_cost_unknown)
