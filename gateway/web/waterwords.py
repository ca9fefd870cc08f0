"""How a plot loses its water, and what it took, in words."""

from gateway.agronomy.advice import Band
from gateway.agronomy.drydown import Estimate
from gateway.agronomy.methane import Methane, Regime
from gateway.agronomy.savings import Account

REGIMES: dict[Regime, str] = {
    "continuous": "flooded throughout",
    "single-drainage": "dried once",
    "multiple-drainage": "dried more than once",
}


def habit_words(estimate: Estimate) -> list[str]:
    """What is thought of the plot's losses, each with 8 of 10 chances."""
    loss, stored = estimate.loss_mm_d, estimate.storage_mm_cm
    said = [f"Loses about {loss.p50:.0f} mm a day while water stands ({reach(loss, 0)})."]
    if estimate.fall_cm_d:
        fall = estimate.fall_cm_d
        said.append(f"Falls about {fall.p50:.1f} cm a day below the surface ({reach(fall, 1)}).")
    held = f"about {stored.p50:.1f} mm of water for each cm below the surface"
    return [*said, f"Takes {held} ({reach(stored, 1)})."]


def reach(band: Band, digits: int) -> str:
    """The likely reach of a figure: ``8 of 10 chances: 1.4 to 3.1``."""
    return f"8 of 10 chances: {band.p10:.{digits}f} to {band.p90:.{digits}f}"


def account_words(account: Account) -> list[str]:
    """The water put on against the flooded twin, and the spells in which the plot dried."""
    put_on, twin = account.put_on_mm, account.twin_mm
    return [
        f"Put on in {account.floodings} {_times(account.floodings)}: about {put_on.p50:.0f} mm"
        f" ({reach(put_on, 0)}); rain {account.rain_mm:.0f} mm.",
        f"A field of the same soil kept flooded would have taken about {twin.p50:.0f} mm"
        f" ({reach(twin, 0)}).",
        _difference(account.less_mm),
        _dried(account.drained),
    ]


def _times(count: int) -> str:
    return "flooding" if count == 1 else "floodings"


def _difference(less: Band) -> str:
    if less.p10 < 0 < less.p90:
        return "Which of both took more cannot be told yet."
    share = "less" if less.p50 >= 0 else "more"
    low, high = sorted((abs(less.p10), abs(less.p90)))
    return (
        f"The plot took about {abs(less.p50):.0f} mm {share}"
        f" (8 of 10 chances: {low:.0f} to {high:.0f})."
    )


def _dried(drained: tuple[float, ...]) -> str:
    if not drained:
        return "It has not fallen below the surface between two floodings."
    days = ", ".join(f"{each:.0f}" for each in drained)
    if len(drained) == 1:
        return f"It fell below the surface once, for {days} {'day' if days == '1' else 'days'}."
    return f"It fell below the surface {len(drained)} times, for {days} days."


def methane_words(found: Methane) -> str:
    """The season's methane as the inventory reckons it, with its range."""
    now, flooded = found.emitted, found.flooded
    return (
        f"Methane of a whole season like this ({REGIMES[found.regime]}):"
        f" {now.low:.0f} to {now.high:.0f} kg per ha; kept flooded:"
        f" {flooded.low:.0f} to {flooded.high:.0f} kg per ha."
    )
