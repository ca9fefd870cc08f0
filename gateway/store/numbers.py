"""Phone numbers in the store: ciphertext to keep, a keyed digest to find."""

from typing import Final

from gateway.advisory.number import Number
from gateway.store.cipher import Keys

PURPOSE: Final = "phone number"


def marks_of(scheme_id: int, number: Number, keys: Keys) -> tuple[bytes, ...]:
    """The keyed digests of a number in a scheme; in another scheme the same number differs."""
    return keys.marks(number.reveal(), f"{PURPOSE} {scheme_id}")


def seal_number(number: Number, keys: Keys) -> bytes:
    """A number as ciphertext."""
    return keys.seal(number.reveal().encode(), PURPOSE)


def open_number(sealed: bytes, keys: Keys) -> Number:
    """A number from its ciphertext, as a value that masks itself. Raises NotOurCipher."""
    return Number(keys.open(sealed, PURPOSE).decode())
