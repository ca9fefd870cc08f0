"""Put a new scheme on record."""

import re
import zoneinfo
from collections.abc import Collection
from dataclasses import dataclass
from difflib import get_close_matches

from gateway.advisory.errors import GatewayError
from gateway.advisory.number import is_region
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.messages.worst import longest_name

CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,39}")


@dataclass
class WrongScheme(GatewayError):
    """A scheme that cannot be served: which part of it, and the cure."""

    part: str
    cure: str

    def __str__(self) -> str:
        return f"{self.part}: {self.cure}"


@dataclass(frozen=True, slots=True)
class NewScheme:
    """What the office says of a scheme. ``zone`` as Area/City of the IANA time zone database."""

    code: str
    name: str
    short_name: str
    zone: str
    language: str
    region: str | None = None


def found_scheme(store: Store, clock: Clock, new: NewScheme, languages: Collection[str]) -> Scheme:
    """Add a scheme whose growers are answered in one of ``languages``.

    Raises WrongScheme naming the part and the cure, AlreadyOnRecord where the code is taken.
    """
    _check_names(new)
    _check_place(new, languages)
    with store.begin() as unit:
        scheme = unit.schemes.add(
            new.code, new.name, new.short_name, new.zone, new.language, new.region
        )
        noted = {"code": new.code, "zone": new.zone, "language": new.language}
        unit.office.audit(scheme.id, "command line", "scheme added", noted, clock.now())
        unit.commit()
    return scheme


def _check_names(new: NewScheme) -> None:
    if not CODE.fullmatch(new.code):
        raise WrongScheme("code", "need letters, digits and hyphens only, at most 40")
    for part, words in (("name", new.name), ("short name", new.short_name)):
        if not words.strip() or not words.isprintable():
            raise WrongScheme(part, "need a name on one line")
    if len(new.short_name) > longest_name():
        raise WrongScheme(
            "short name",
            f"opens every text that the office starts, need at most {longest_name()} characters",
        )


def _check_place(new: NewScheme, languages: Collection[str]) -> None:
    zones = zoneinfo.available_timezones()
    if new.zone not in zones:
        near = get_close_matches(new.zone, sorted(zones), n=3)
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise WrongScheme("zone", f"need a time zone such as Asia/Manila, got {new.zone!r}{hint}")
    if new.language not in languages:
        known = ", ".join(sorted(languages))
        raise WrongScheme("language", f"need one that has a catalogue: {known}")
    if new.region is not None and not is_region(new.region):
        raise WrongScheme("region", f"need two letters of ISO 3166 such as PH, got {new.region!r}")
