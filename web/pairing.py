"""The code by which a phone comes to the bench: offered by the owner, for a few minutes, to one phone."""

import hashlib
import hmac
import secrets
import threading
from datetime import datetime, timedelta
from typing import Final

from ledger.ports import Clock

__all__ = ["OPEN_FOR", "PATH", "Pairing"]

SECRET_BYTES: Final = 32
OPEN_FOR: Final = timedelta(minutes=5)
PATH: Final = "/join"


class Pairing:
    """The one code that is open, if any: looking at it shows a button, pressing the button uses it up.

    Keeps: only a hash of its secret, and that in memory alone; a new code takes the place of the one before, and a restart
    ends it.
    """

    def __init__(self, clock: Clock) -> None:
        self._clock, self._lock = clock, threading.Lock()
        self._hash: bytes | None = None
        self._ends: datetime | None = None
        self._name = ""

    def offer(self, name: str) -> str:
        """The path that lets in one phone, under that name."""
        secret = secrets.token_urlsafe(SECRET_BYTES)
        with self._lock:
            self._hash, self._name, self._ends = _hash(secret), name, self._clock.now() + OPEN_FOR
        return f"{PATH}/{secret}"

    def fits(self, secret: str) -> bool:
        """The code is this one, has not been used and has not run out."""
        if self._hash is None or self._ends is None or self._clock.now() >= self._ends:
            return False
        return hmac.compare_digest(self._hash, _hash(secret))

    def use(self, secret: str) -> str | None:
        """The name of the phone that is let in, once; None where the code is not in force."""
        with self._lock:
            if not self.fits(secret):
                return None
            self._hash = None
            return self._name

    def close(self) -> None:
        """No code is open from now on."""
        with self._lock:
            self._hash = None


def _hash(secret: str) -> bytes:
    return hashlib.sha256(secret.encode("utf-8", "replace")).digest()
