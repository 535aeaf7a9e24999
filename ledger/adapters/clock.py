"""The time and chance of the machine itself; tests and the demo bring their own."""

import secrets
from datetime import UTC, date, datetime


class SystemClock:
    """The machine's clock, UTC and aware, and the day in the machine's own zone."""

    def now(self) -> datetime:
        """The time now."""
        return datetime.now(UTC)

    def today(self) -> date:
        """The day it is here."""
        return self.now().astimezone().date()


class SystemChance:
    """Random bytes from the operating system."""

    def bytes(self, count: int) -> bytes:
        """Bytes nobody can guess."""
        return secrets.token_bytes(count)
