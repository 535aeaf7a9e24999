"""The time and chance of the machine itself; tests and the demo bring their own."""

import secrets
from datetime import UTC, datetime


class SystemClock:
    """The machine's clock, UTC and aware."""

    def now(self) -> datetime:
        """The time now."""
        return datetime.now(UTC)


class SystemChance:
    """Random bytes from the operating system."""

    def bytes(self, count: int) -> bytes:
        """Bytes nobody can guess."""
        return secrets.token_bytes(count)
