"""Words enciphered so that only who holds the key reads them, and so that a changed letter is noticed.

In: bytes, a key of 32 bytes, and other bytes that the lock is bound to. Out: text in base 64, and the bytes again.
Not here: where a key is kept (class_folder), what is locked (handing_out).

AES-256 in Galois/Counter Mode (NIST SP 800-38D), by the library `cryptography`, imported where it is asked for."""

from __future__ import annotations

import base64
import binascii
import hashlib
import secrets

KEY_BYTES, NONCE_BYTES = 32, 12


class NotOpened(Exception):
    """The key does not fit, or something that was locked, or that the lock is bound to, was changed."""


def new_key() -> bytes:
    """A fresh key."""
    return secrets.token_bytes(KEY_BYTES)


def key_from(random: bytes) -> bytes:
    """A key that follows from bytes standing beside what it locks. It hides from eyes and searches, and keeps nobody from reading
    who writes the few lines that unlock it."""
    return hashlib.sha256(b"reasoner key beside its lock 1\0" + random).digest()


def locked(data: bytes, key: bytes, bound: bytes) -> str:
    """The data, enciphered; `bound` stays readable where it is, and cannot be changed unnoticed."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    nonce = secrets.token_bytes(NONCE_BYTES)
    return base64.b64encode(nonce + AESGCM(key).encrypt(nonce, data, bound)).decode("ascii")


def opened(text: str, key: bytes, bound: bytes) -> bytes:
    """The data again. Raises NotOpened."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    try:
        whole = base64.b64decode(text, validate=True)
        return AESGCM(key).decrypt(whole[:NONCE_BYTES], whole[NONCE_BYTES:], bound)
    except (InvalidTag, binascii.Error, ValueError, TypeError):
        raise NotOpened from None
