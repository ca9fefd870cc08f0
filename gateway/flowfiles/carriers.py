"""flows/carriers/*.yaml: one file a carrier, its name is the carrier's name."""

import re
from pathlib import Path
from typing import Final, Literal

from gateway.advisory.carrier_profile import CarrierProfile, Price, Simulated
from gateway.flowfiles.carrier_in import listening
from gateway.flowfiles.carrier_out import sending
from gateway.flowfiles.reader import Entry, FlowError, read_file

NAME: Final = re.compile(r"[a-z][a-z0-9-]*")
CURRENCY: Final = re.compile(r"[A-Z]{3}")


def load_carriers(flows: Path) -> dict[str, CarrierProfile]:
    """Every carrier of ``flows``/carriers by name, in the order of their names.

    Raises FlowError where a file holds a mistake or no carrier is there.
    """
    folder = flows / "carriers"
    files = sorted(folder.glob("*.yaml"))
    if not files:
        raise FlowError(folder, 1, 1, "need at least one carrier, as NAME.yaml")
    return {path.stem: load_carrier(path) for path in files}


def load_carrier(path: Path) -> CarrierProfile:
    """The carrier of one file. Raises FlowError."""
    if not NAME.fullmatch(path.stem):
        cure = "need a file name of small letters, digits and hyphens, a letter first"
        raise FlowError(path, 1, 1, cure)
    top = read_file(path)
    kind = top.need("kind").choice("http", "simulator")
    own = "send" if kind == "http" else "simulate"
    top.keys(
        "kind", "title", "sender", "can_be_answered", "texts_in_paid_by", "price", "listen", own
    )
    part = top.need(own)
    return CarrierProfile(
        name=path.stem,
        title=top.need("title").text(),
        kind="http" if kind == "http" else "simulator",
        sender=_sender(top.need("sender")),
        can_be_answered=top.need("can_be_answered").flag(),
        texts_in_paid_by=_payer(top.need("texts_in_paid_by")),
        price=_price(price) if (price := top.get("price")) else None,
        listening=listening(top.need("listen")),
        sending=sending(part) if kind == "http" else None,
        simulated=_simulated(part) if kind == "simulator" else None,
    )


def _sender(entry: Entry) -> str:
    # 3GPP TS 23.040, 9.1.2.5: an alphanumeric address has 11 characters at most [from memory];
    # E.164: a number has 15 digits at most.
    sender = entry.text()
    if re.fullmatch(r"\+?[0-9]{2,15}", sender, re.ASCII):
        return sender
    if 1 <= len(sender) <= 11 and sender.isascii() and sender.isprintable():
        return sender
    return entry.fail("need a number of up to 15 digits, or a name of up to 11 characters")


def _payer(entry: Entry) -> Literal["grower", "office"]:
    return "grower" if entry.choice("grower", "office") == "grower" else "office"


def _price(entry: Entry) -> Price:
    entry.keys("each", "currency")
    currency = entry.need("currency")
    if not CURRENCY.fullmatch(currency.text()):
        currency.fail("need three capital letters as in ISO 4217 (XXX where there is none)")
    return Price(entry.need("each").number(0), currency.text())


def _simulated(entry: Entry) -> Simulated:
    shares = ("loss", "repeat", "reorder", "in_doubt")
    times = ("hold_back_s", "again_s", "link_wait_s")
    entry.keys("seed", "delay_s", "receipt_delay_s", "receipts", "link_down", *shares, *times)
    receipts = entry.need("receipts")
    receipts.keys("delivered", "undeliverable")
    delivered, undeliverable = (_share(receipts, key) for key in ("delivered", "undeliverable"))
    if delivered + undeliverable > 1:
        receipts.fail("need shares that come to 1 at most; what is left gets no receipt")
    return Simulated(
        seed=entry.need("seed").whole(),
        delay_s=_span(entry.need("delay_s")),
        receipt_delay_s=_span(entry.need("receipt_delay_s")),
        loss=_share(entry, "loss"),
        repeat=_share(entry, "repeat"),
        reorder=_share(entry, "reorder"),
        hold_back_s=_seconds(entry, "hold_back_s"),
        delivered=delivered,
        undeliverable=undeliverable,
        in_doubt=_share(entry, "in_doubt"),
        again_s=_seconds(entry, "again_s"),
        link_wait_s=_seconds(entry, "link_wait_s"),
        link_down=entry.need("link_down").flag(),
    )


def _share(entry: Entry, key: str) -> float:
    return entry.need(key).number(0, 1)


def _seconds(entry: Entry, key: str) -> float:
    # Nought would bring a callback back within the same instant, for ever.
    return entry.need(key).number(1, unit="seconds")


def _span(entry: Entry) -> tuple[float, float]:
    ends = entry.list()
    if len(ends) != 2:
        entry.fail(f"need two numbers of seconds, the shortest and the longest, got {len(ends)}")
    low = ends[0].number(0, unit="seconds")
    return low, ends[1].number(low, unit="seconds")
