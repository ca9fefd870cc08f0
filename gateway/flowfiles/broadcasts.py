"""flows/broadcasts.yaml and flows/budget.yaml: how the office speaks to many, at what cost."""

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path

from gateway.advisory.broadcasts import BroadcastCustoms
from gateway.advisory.budget import Budget, Cap
from gateway.advisory.carrier_profile import Price
from gateway.flowfiles.carriers import CURRENCY
from gateway.flowfiles.catalogue_checks import never_said
from gateway.flowfiles.catalogues import SOURCE
from gateway.flowfiles.po import parse_po, read_text
from gateway.flowfiles.reader import Entry, FlowError, read_file

KEYS = (
    "second_officer_above",
    "valid_hours",
    "spread_minutes",
    "batch",
    "tests_at_most",
    "replies_days",
    "regular",
    "texts",
)


def load_broadcasts(flows: Path) -> BroadcastCustoms:
    """The customs in ``flows/broadcasts.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / "broadcasts.yaml")
    top.keys(*KEYS)
    regular = top.need("regular")
    regular.keys("readings", "days")
    return BroadcastCustoms(
        second_officer_above=top.need("second_officer_above").whole(0, 1_000_000, "phones"),
        valid=timedelta(hours=top.need("valid_hours").whole(1, 336, "hours")),
        spread=timedelta(minutes=top.need("spread_minutes").whole(0, 600, "minutes")),
        batch=top.need("batch").whole(1, 20_000),
        tests_at_most=top.need("tests_at_most").whole(0, 100),
        replies=timedelta(days=top.need("replies_days").whole(1, 60, "days")),
        regular_readings=regular.need("readings").whole(1, 100),
        regular_days=regular.need("days").whole(1, 120, "days"),
        texts={name: title.text() for name, title in top.need("texts").items()},
    )


def load_budget(flows: Path, prices: Mapping[str, Price]) -> Budget:
    """The budget in ``flows/budget.yaml``, at those prices of carriers. Raises FlowError."""
    top = read_file(flows / "budget.yaml")
    top.keys("monthly_cap", "warn_at_percent")
    cap = top.get("monthly_cap")
    share = top.need("warn_at_percent").number(1, 100, "percent") / 100
    return Budget(_cap(cap) if cap else None, share, prices)


def load_never_said(locales: Path) -> dict[str, tuple[str, ...]]:
    """By language, the words that growers misread, as the catalogues' headers list them."""
    paths = sorted(locales.glob("*/LC_MESSAGES/gateway.po"))
    files = [parse_po(path, read_text(path), entries=False) for path in paths]
    source = next((po for po in files if po.language == SOURCE), None)
    if source is None:
        raise FlowError(locales / SOURCE, 1, 1, f"the catalogue of {SOURCE} is missing here")
    return {po.language: tuple(never_said(po, source)) for po in files}


def check_broadcasts(flows: Path, names: frozenset[str]) -> list[str]:
    """Texts of ``flows/broadcasts.yaml`` that no catalogue has."""
    texts = read_file(flows / "broadcasts.yaml").need("texts")
    found = []
    for name, entry in texts.items():
        if name not in names:
            try:
                entry.fail("no catalogue has this message; add it, or take it out here")
            except FlowError as mistake:
                found.append(str(mistake))
    return found


def _cap(entry: Entry) -> Cap:
    entry.keys("amount", "currency")
    currency = entry.need("currency")
    if not CURRENCY.fullmatch(currency.text()):
        currency.fail("need three capital letters as in ISO 4217 (XXX where there is none)")
    return Cap(entry.need("amount").number(0), currency.text())
