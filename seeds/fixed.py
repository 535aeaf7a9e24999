"""The fixed clock, chance, key and name of the demo: told anew, its collection has the same bytes to the last one."""

import hashlib
import secrets
from datetime import UTC, date, datetime

COLLECTION = "thetoldcollectionofthedemo"
"""The id of the told collection."""
SEED = hashlib.sha256(b"slipsheet demo key: whoever reads this can sign for the demo").digest()
"""The key everybody has; it signs for nothing but the told collection."""
BEGINS = datetime(2022, 10, 8, 17, 2, 11, 408_113, tzinfo=UTC)
"""When the first entry was recorded."""


class StoryClock:
    """Stands where the story puts it; let go, it is the machine's own clock."""

    def __init__(self) -> None:
        self._stands: datetime | None = BEGINS

    def put(self, moment: datetime) -> None:
        """It stands at that moment until it is put elsewhere."""
        self._stands = moment

    def let_go(self) -> None:
        """From now on the machine's time."""
        self._stands = None

    def now(self) -> datetime:
        """The moment it stands at, or the time."""
        return self._stands or datetime.now(UTC)

    def today(self) -> date:
        """The day it stands at, the same wherever it is told; let go, the day it is here."""
        return self._stands.date() if self._stands else self.now().astimezone().date()


class StoryChance:
    """The same bytes every time while the story is told; let go, the machine's own chance.

    Source: SHA-256 in counter mode, as NIST SP 800-90A section 10.1.1 makes its output; it hides nothing here.
    """

    def __init__(self) -> None:
        self._drawn: int | None = 0

    def let_go(self) -> None:
        """From now on bytes nobody can guess."""
        self._drawn = None

    def bytes(self, count: int) -> bytes:
        """That many bytes."""
        if self._drawn is None:
            return secrets.token_bytes(count)
        found = b""
        while len(found) < count:
            found += hashlib.sha256(b"slipsheet demo %d" % self._drawn).digest()
            self._drawn += 1
        return found[:count]
