"""Keys of the store: what hides numbers, and what finds them again without showing them."""

import os
from dataclasses import dataclass
from typing import Final

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.hmac import HMAC
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from gateway.advisory.errors import GatewayError

LEAST_SECRET: Final = 16
KEY, NONCE, LABEL = 32, 12, 4


@dataclass
class SecretTooShort(GatewayError):
    """A secret that could be guessed. ``length`` and ``least`` count characters."""

    length: int
    least: int = LEAST_SECRET

    def __str__(self) -> str:
        return f"the store's secret has {self.length} characters, need at least {self.least}"


class NotOurCipher(GatewayError):
    """Ciphertext that none of the keys opens: a key is missing, or the bytes were changed."""

    def __str__(self) -> str:
        return "what is stored was not enciphered by any key at hand"


class Keys:
    """Seals bytes (AES-256-GCM) and marks text (HMAC-SHA-256), under keys derived by HKDF-SHA-256.

    Several secrets may be given: the first seals and marks, all of them open and find, so a new
    secret is put in front and the old one kept until everything is written anew. Sources: NIST
    SP 800-38D (GCM, random 96-bit nonces), RFC 2104 (HMAC), RFC 5869 (HKDF).
    """

    def __init__(self, sealing: tuple[bytes, ...], marking: tuple[bytes, ...]) -> None:
        self._sealing = {_label(key): AESGCM(key) for key in sealing}
        self._first = _label(sealing[0])
        self._marking = tuple(HMAC(key, SHA256()) for key in marking)

    @classmethod
    def from_master(cls, secret: str, *older: str) -> "Keys":
        """Both kinds of key from one master secret, and from those it replaced."""
        return cls.from_secrets((secret, *older), (secret, *older))

    @classmethod
    def from_secrets(cls, sealing: tuple[str, ...], marking: tuple[str, ...]) -> "Keys":
        """Keys from a secret for each kind; the newest stands first."""
        return cls(
            tuple(_derive(secret, b"gateway store seal") for secret in sealing),
            tuple(_derive(secret, b"gateway store mark") for secret in marking),
        )

    def seal(self, plain: bytes, purpose: str) -> bytes:
        """``plain`` as ciphertext that opens for the same ``purpose`` only."""
        nonce = os.urandom(NONCE)
        sealed = self._sealing[self._first].encrypt(nonce, plain, purpose.encode())
        return self._first + nonce + sealed

    def open(self, sealed: bytes, purpose: str) -> bytes:
        """What was sealed. Raises NotOurCipher."""
        cipher = self._sealing.get(sealed[:LABEL])
        if cipher is None:
            raise NotOurCipher
        nonce, rest = sealed[LABEL : LABEL + NONCE], sealed[LABEL + NONCE :]
        try:
            return cipher.decrypt(nonce, rest, purpose.encode())
        except (InvalidTag, ValueError):
            raise NotOurCipher from None

    def mark(self, text: str, purpose: str) -> bytes:
        """A digest (32 bytes) by which ``text`` is found, and from which it cannot be guessed."""
        return self.marks(text, purpose)[0]

    def marks(self, text: str, purpose: str) -> tuple[bytes, ...]:
        """The digests under every key, the newest first."""
        message = f"{purpose}\x00{text}".encode("utf-8", "surrogatepass")
        return tuple(_digest(key, message) for key in self._marking)

    def __repr__(self) -> str:
        return f"Keys({len(self._sealing)} sealing, {len(self._marking)} marking)"


def _derive(secret: str, purpose: bytes) -> bytes:
    if len(secret) < LEAST_SECRET:
        raise SecretTooShort(len(secret))
    return HKDF(SHA256(), KEY, salt=None, info=purpose).derive(secret.encode())


def _label(key: bytes) -> bytes:
    return HKDF(SHA256(), LABEL, salt=None, info=b"gateway store label").derive(key)


def _digest(key: HMAC, message: bytes) -> bytes:
    fresh = key.copy()
    fresh.update(message)
    return fresh.finalize()
