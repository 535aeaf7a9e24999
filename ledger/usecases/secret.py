"""Secrets that are told once and kept only as their hash: of sessions, of addresses."""

import base64
import hashlib
from typing import Final

from ledger.ports import Chance

__all__ = ["SECRET_BYTES", "hash_of", "new_secret"]

SECRET_BYTES: Final = 32


def new_secret(chance: Chance) -> str:
    """256 random bits, as an address takes them."""
    return base64.urlsafe_b64encode(chance.bytes(SECRET_BYTES)).decode().rstrip("=")


def hash_of(secret: str) -> bytes:
    """What is kept of it. Its 256 random bits need no slow hash: they cannot be guessed."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).digest()
