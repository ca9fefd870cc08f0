"""Which addresses of the network may be reached, once a name was resolved.

A name is resolved once and the connection goes to an address that was looked at: a name that
answers otherwise the second time reaches nothing that it did not show the first time.
"""

import socket
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from typing import Final

from gateway.advisory.errors import WeatherNotFetched

Address = IPv4Address | IPv6Address
# RFC 6052: the last four bytes are an address of the older kind that a translator will knock at.
TRANSLATED: Final = ip_network("64:ff9b::/96")


def addresses_of(host: str, port: int, inner_networks: bool) -> list[str]:
    """The addresses of a name, each of them allowed. Raises WeatherNotFetched."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise WeatherNotFetched(host, "the name is not found") from None
    addresses = list(dict.fromkeys(str(each[4][0]) for each in found))
    if not inner_networks and not all(is_open(ip_address(each)) for each in addresses):
        cause = (
            "the name leads into an inner network; inner_networks in flows/weather.yaml allows it"
        )
        raise WeatherNotFetched(host, cause)
    return addresses


def is_open(address: Address) -> bool:
    """Whether an address lies in the open internet, and so does any other that it stands for."""
    meant = _meant(address)
    if meant is not None:
        return is_open(meant)
    closed = address.is_multicast or address.is_reserved or address.is_unspecified
    closed = closed or address.is_private or address.is_loopback or address.is_link_local
    return address.is_global and not closed


def _meant(address: Address) -> IPv4Address | None:
    """The address of the older kind that one of the newer kind carries, if it does."""
    if isinstance(address, IPv4Address):
        return None
    if address in TRANSLATED:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.ipv4_mapped or address.sixtofour or (address.teredo or (None, None))[1]
