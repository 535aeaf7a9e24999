"""Passwords kept as Argon2id hashes."""

from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from argon2.profiles import RFC_9106_LOW_MEMORY

AT_ONCE = 2
"""Hashes made at the same time; each takes 64 MiB, and whoever waits is only slowed down."""


class Argon2Passwords:
    """Slow, memory-hungry hashes, each with a salt and its own settings in it.

    Source: RFC 9106 section 4, the second recommended option: Argon2id, 3 passes over 64 MiB in 4 lanes.
    """

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        self._hasher = hasher or PasswordHasher.from_parameters(RFC_9106_LOW_MEMORY)
        self._turn = BoundedSemaphore(AT_ONCE)

    def hashed(self, password: str) -> str:
        """What is kept of a password."""
        with self._turn:
            return self._hasher.hash(password)

    def fits(self, kept: str | None, password: str) -> bool:
        """The password is the one that was hashed; where none is kept it is no, after as long a time."""
        if kept is None:
            self.hashed(password)
            return False
        try:
            with self._turn:
                return self._hasher.verify(kept, password)
        except (VerificationError, InvalidHashError):
            return False

    def is_outdated(self, kept: str) -> bool:
        """It was hashed with other settings than today's."""
        return self._hasher.check_needs_rehash(kept)
