"""What the tests of the carriers share: the shipped profiles, a clock that is moved, parcels."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from gateway.advisory.carrier_profile import CarrierProfile
from gateway.advisory.number import Number
from gateway.advisory.parcels import Parcel, State
from gateway.carriers.wire import Wire
from gateway.flowfiles.carriers import load_carrier

FLOWS = Path(__file__).parents[2] / "flows"
NOON = datetime(2026, 2, 14, 12, 0, tzinfo=UTC)


@dataclass
class MovedClock:
    """A Clock that stands until it is moved."""

    moment: datetime = NOON

    def now(self) -> datetime:
        return self.moment

    def move(self, seconds: float) -> datetime:
        self.moment += timedelta(seconds=seconds)
        return self.moment


@pytest.fixture
def clock() -> MovedClock:
    return MovedClock()


@pytest.fixture
def wire() -> Iterator[Wire]:
    wire = Wire()
    yield wire
    wire.close()


@pytest.fixture
def edited(tmp_path: Path) -> Callable[..., CarrierProfile]:
    """A shipped profile with some of its text replaced, loaded through the real reader."""

    def load(name: str, *changes: tuple[str, str]) -> CarrierProfile:
        text = (FLOWS / "carriers" / f"{name}.yaml").read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        path = tmp_path / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        return load_carrier(path)

    return load


@pytest.fixture
def parcel() -> Callable[..., Parcel]:
    def make(text: str = "Do not irrigate yet.", id: int = 41, to: str = "+12025550143") -> Parcel:
        return Parcel(
            id=id,
            scheme_id=1,
            phone_id=1,
            to=Number(to),
            carrier="example-http",
            text=text,
            language="en",
            kind="answer",
            state=State.CLAIMED,
            not_before=NOON,
            valid_until=NOON + timedelta(days=1),
        )

    return make
