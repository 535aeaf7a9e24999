"""The one-time link by which an owner comes in for the first time."""

import hashlib
import hmac
import secrets
import threading
from datetime import timedelta
from typing import Final

from ledger.accounts import Accounts
from ledger.ports import Clock
from ledger.usecases.sign_in import has_password

__all__ = ["OPEN_FOR", "Door"]

SECRET_BYTES: Final = 24
OPEN_FOR: Final = timedelta(hours=1)


class Door:
    """A link that opens once, within the hour: looking at it shows a button, pressing the button uses it up.

    Keeps: only a hash of its secret, and that in memory alone; the link is printed once and is dead after a restart.
    """

    def __init__(
        self, secret: str | None, clock: Clock, *, password_optional: bool = False, password_forgotten: bool = False
    ) -> None:
        self.path = f"/sign-in/{secret}" if secret else ""
        self.password_optional = password_optional
        """Whoever comes in here can do all without ever setting a password: for a collection that ends with the program."""
        self.password_forgotten = password_forgotten
        """Whoever comes in here ends the password that was set and sets another one."""
        self._hash = _hash(secret) if secret else None
        self._clock = clock
        self._ends = clock.now() + OPEN_FOR
        self._lock = threading.Lock()

    @classmethod
    def made(cls, clock: Clock, *, password_optional: bool = False) -> "Door":
        """A door with a fresh link."""
        return cls(secrets.token_urlsafe(SECRET_BYTES), clock, password_optional=password_optional)

    @classmethod
    def first(cls, accounts: Accounts, *, forgotten: bool = False) -> "Door":
        """A fresh link while the owner has no password to come in by, or has forgotten it; none otherwise."""
        secret = None if has_password(accounts) and not forgotten else secrets.token_urlsafe(SECRET_BYTES)
        return cls(secret, accounts.clock, password_forgotten=forgotten)

    def fits(self, secret: str) -> bool:
        """The link is this one, has not been used and has not run out."""
        if self._hash is None or self._clock.now() >= self._ends:
            return False
        return hmac.compare_digest(self._hash, _hash(secret))

    def use(self, secret: str) -> bool:
        """Opens once; of two who press at the same moment one comes in."""
        with self._lock:
            if not self.fits(secret):
                return False
            self._hash = None
            return True

    def close(self) -> None:
        """The link is dead from now on."""
        with self._lock:
            self._hash = None


def _hash(secret: str) -> bytes:
    return hashlib.sha256(secret.encode("utf-8", "replace")).digest()
