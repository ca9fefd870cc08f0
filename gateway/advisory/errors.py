"""The tree of errors of the use cases: each carries its data first, then its words."""

from dataclasses import dataclass
from typing import Literal


class GatewayError(Exception):
    """Anything that the gateway itself says is wrong."""


@dataclass
class Unproven(GatewayError):
    """A caller who did not prove who they are."""

    carrier: str
    cause: str

    def __str__(self) -> str:
        return f"carrier {self.carrier}: caller not proven: {self.cause}"


@dataclass
class Unreadable(GatewayError):
    """A callback whose bytes do not hold what the carrier's profile says."""

    carrier: str
    cause: str

    def __str__(self) -> str:
        return f"carrier {self.carrier}: callback not readable: {self.cause}"


@dataclass
class UnknownCarrier(GatewayError):
    """No carrier of that name is set up."""

    name: str

    def __str__(self) -> str:
        return f"no carrier is called {self.name!r}"


@dataclass
class NotSimulated(GatewayError):
    """Something for trials only, asked for where real phones are at the other end."""

    carrier: str

    def __str__(self) -> str:
        return f"the carrier is {self.carrier}, not the simulator: nothing was done"


@dataclass
class NotANumber(GatewayError):
    """A phone number that E.164 does not know; the number itself is never repeated."""

    cause: str

    def __str__(self) -> str:
        return f"not a phone number: {self.cause}"


@dataclass
class NotOnRecord(GatewayError):
    """Something asked for by its name or number that the store does not hold."""

    kind: str
    key: str

    def __str__(self) -> str:
        return f"no {self.kind} {self.key} is on record"


@dataclass
class AlreadyOnRecord(GatewayError):
    """Something that is there already and may not be there twice."""

    kind: str
    key: str

    def __str__(self) -> str:
        return f"{self.kind} {self.key} is on record already"


@dataclass(frozen=True, slots=True)
class SheetMistake:
    """A cell that cannot be taken: where it stands, and the cure; no phone number in full."""

    sheet: str
    line: int
    column: str
    cure: str

    def __str__(self) -> str:
        return f"{self.sheet}:{self.line} {self.column}: {self.cure}"


@dataclass
class SheetRefused(GatewayError):
    """A sheet that is not in order, with every mistake in it; nothing of it was written."""

    mistakes: tuple[SheetMistake, ...]

    def __str__(self) -> str:
        many = "1 mistake" if len(self.mistakes) == 1 else f"{len(self.mistakes)} mistakes"
        lines = "\n".join(str(mistake) for mistake in self.mistakes)
        return f"nothing was written, for {many}:\n{lines}"


@dataclass
class WeatherNotFetched(GatewayError):
    """Weather that did not come from the address of the office's file; nothing was written."""

    host: str
    cause: str

    def __str__(self) -> str:
        return f"no weather from {self.host}: {self.cause}"


class NoWeatherLink(GatewayError):
    """Weather to be fetched, and no address to fetch it from."""

    def __str__(self) -> str:
        return "no address stands in flows/weather.yaml, so nothing is fetched"


@dataclass
class PapersOutlived(GatewayError):
    """Rules or words kept with an old advice that the present program reads no more."""

    kind: Literal["rules", "words"]
    digest: str
    cause: str

    def __str__(self) -> str:
        return (
            f"the {self.kind} of that day cannot be read by this version: {self.cause} "
            f"({self.kind} {self.digest[:12]}; the version of that day gives the advice again)"
        )


@dataclass
class ForbiddenMove(GatewayError):
    """An outbox row asked to go where the transition table has no way."""

    state: str
    to: str

    def __str__(self) -> str:
        return f"an outbox row does not go from {self.state} to {self.to}"


class StoreDown(GatewayError):
    """The store does not answer; nothing happened."""
