"""flows/weather.yaml: the address that daily weather may be fetched from, if any."""

import re
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Final
from urllib.parse import quote, urlsplit

from gateway.advisory.weatherlink import WeatherLink
from gateway.flowfiles.reader import Entry, read_file

FILE: Final = "weather.yaml"
TYPE: Final = re.compile(r"[a-z0-9.+-]+/[a-z0-9.+-]+")
HOST: Final = re.compile(r"[a-z0-9]([a-z0-9.-]*[a-z0-9])?|\[[0-9a-f:.]+\]")
NAME: Final = re.compile(r"[A-Z][A-Z0-9_]*")
HTTPS_PORT: Final = 443
KEYS: Final = (
    *("address", "secret", "columns", "wind_height_m", "content_types", "largest_kb"),
    *("within_seconds", "inner_networks"),
)


def load_weather_link(
    flows: Path, columns: Collection[str], environment: Mapping[str, str] | None = None
) -> WeatherLink | None:
    """The link of ``flows/weather.yaml``; None where no address stands there.

    ``columns`` are ours. Without an ``environment`` the secret's place is kept and nothing is
    fetched: that is how a file is checked. Raises FlowError.
    """
    top = read_file(flows / FILE)
    address = top.keys(*KEYS).get("address")
    secret = _secret(top.get("secret"), environment)
    off = address is None or address.is_null()
    host, port, target = ("", 0, "") if off else _parts(top.need("address"), secret)
    link = WeatherLink(
        host,
        port,
        target,
        columns=_columns(top.need("columns"), columns) or None,
        wind_height_m=top.need("wind_height_m").number(0.5, 100, "m"),
        content_types=tuple(_type(each) for each in top.need("content_types").list()),
        largest_bytes=1024 * top.need("largest_kb").whole(1, 50_000, "kB"),
        within_s=top.need("within_seconds").number(0.1, 600, "seconds"),
        inner_networks=top.need("inner_networks").flag(),
    )
    return None if off else link


def _parts(address: Entry, secret: str | None) -> tuple[str, int, str]:
    """Host, port and target of an address. No part of it that is not asked for may stand there."""
    text = address.text().strip()
    try:
        parts, port = urlsplit(text), urlsplit(text).port
    except ValueError:
        address.fail("need an address such as https://weather.example/daily.csv")
    host = parts.netloc.rpartition(":")[0] if port is not None else parts.netloc
    if parts.scheme != "https":
        address.fail("need an address that begins with https://, so that nobody can alter the data")
    if parts.username is not None or not HOST.fullmatch(host.casefold()):
        address.fail("need a plain host name after https://, without a user or a password")
    if parts.fragment or not text.isascii() or not text.isprintable() or " " in text:
        address.fail("need plain letters without spaces or #; write others as %XX")
    target = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    if ("{secret}" in target) != (secret is not None):
        address.fail("{secret} in the address and a name under secret belong together")
    target = target.replace("{secret}", quote(secret or "", safe=""))
    return host.casefold().strip("[]"), port or HTTPS_PORT, target


def _secret(entry: Entry | None, environment: Mapping[str, str] | None) -> str | None:
    if entry is None:
        return None
    name = entry.text()
    if not NAME.fullmatch(name):
        entry.fail("need the name of an environment variable such as GATEWAY_WEATHER_SECRET")
    if environment is None:
        return "-"
    return environment.get(name) or entry.fail(f"{name} is not set")


def _columns(entry: Entry, ours: Collection[str]) -> dict[str, str]:
    """Our column by their heading."""
    theirs: dict[str, str] = {}
    for name, heading in entry.keys(*ours).items():
        words = " ".join(heading.text().split())
        if words in theirs:
            heading.fail(f"stands for {theirs[words]} already; one heading is one column")
        theirs[words] = name
    return theirs


def _type(entry: Entry) -> str:
    kind = entry.text().casefold()
    return kind if TYPE.fullmatch(kind) else entry.fail("need a kind of content such as text/csv")
