"""The level that a share tells in words alone: a dry tube, or water at the soil."""

from gateway.messages.items import Item
from gateway.messages.levelnumbers import STAND
from gateway.messages.mends import denied_after
from gateway.messages.said import Said

_TELLS = frozenset(("below", "above", "rim", "vague", "filling", "change"))
# "Pumped full", "canal dry to its bottom": how much is no level that one must ask for.
_MAY_BE_FULL = frozenset(
    ("flooded", "no-water", "weeds", "spray", "nitrogen", "harvest", "snails", "no-power")
)
_MAY_BE_FULL |= {"broken", "tall", "green", "flowering"}
_FULL = ("vague", "change")
DENIES = frozenset(("not", "no"))


def without_number(items: list[Item], changed: bool) -> list[Said]:
    """Nothing, a dry tube, or a level at the soil, told without a number; or that one must ask.

    ``changed``: words tell that the water moved, so what else they tell is in doubt.
    """
    roles = [item.role for item in items]
    dry = [i for i, role in enumerate(roles) if role == "dry"]
    level = [i for i, role in enumerate(roles) if role == "surface"]
    if (changed and _moved_alone(items)) or (dry and level):
        return [Said(about="number")]
    if dry:
        return [_dry(items, dry[0], roles)]
    if level and not _sided(roles) and "vague" not in roles:
        at, clause = level[0], items[level[0]].clause
        denied = items[at].doubted or (at > 0 and roles[at - 1] in DENIES)
        denied = denied or denied_after(items, at) or "unsure" in roles
        return [Said(about="number") if denied else Said(level_cm=0.0, at=at, clause=clause)]
    acts = {x.clause for x in items if x.role == "event" and x.value in _MAY_BE_FULL}
    tells = [x for x in items if x.role in _TELLS and not (x.role in _FULL and x.clause in acts)]
    return [Said(about="number")] if tells else []


def _moved_alone(items: list[Item]) -> bool:
    """Whether a word of change stands in a clause that tells no act ("no power from yesterday")."""
    acts = {item.clause for item in items if item.role == "event"}
    return any(item.role == "change" and item.clause not in acts for item in items)


def _sided(roles: list[str]) -> bool:
    """Whether a side is told; "not over, not under" beside the soil's level tells none."""
    return any(r in STAND and roles[max(0, i - 1)] not in DENIES for i, r in enumerate(roles))


def _dry(items: list[Item], at: int, roles: list[str]) -> Said:
    before = roles[max(0, at - 2) : at]
    doubted = (
        items[at].doubted
        or DENIES & set(before)
        or denied_after(items, at)
        or before[-1:] == ["not-before"]
        or {"vague", "unsure"} & set(roles)
        or {"compare", "or"} & set(before)
    )
    alone = len(items[at].places()) == 1  # not "tube dry, crop fine"
    near = items[max(0, at - 2) : at] + (items[at + 1 : at + 2] if alone else [])
    other = any(item.value == "thing" or item.role == "modal" for item in near)
    if doubted or other or STAND & set(roles):
        return Said(about="number")
    corrects = bool({"wrong", "mend"} & set(roles[:at]))
    return Said(dry=True, at=at, clause=items[at].clause, supersedes=corrects)
