"""What an archive needs of the store: every row of a collection that goes into it, in one unchanging view."""

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Protocol

from ledger.archive.lines import Row

if TYPE_CHECKING:
    from ledger.ports import Reader

__all__ = ["Carried", "Carrier", "KeyCase"]


class Carried(Protocol):
    """One view of a collection: its ledger, and the rows of every table that is taken along beside the entries."""

    @property
    def reader(self) -> "Reader": ...
    def counts(self) -> Mapping[str, int]:
        """Rows of each table, in the order in which they can be put back."""
        ...

    def rows(self, table: str) -> Iterator[Row]:
        """Every row of a table in the order of its key, without the collection's own id."""
        ...


class Carrier(Protocol):
    """Where it is read."""

    def read(self) -> AbstractContextManager[Carried]: ...


class KeyCase(Protocol):
    """Locks a secret under a passphrase, and opens it again.

    Raises: from `opened`, ConflictError where the passphrase is another one, MalformedError where it is no such file.
    """

    def locked(self, collection: str, secret: str, passphrase: str, chance: bytes) -> bytes: ...
    def opened(self, collection: str, data: bytes, passphrase: str) -> str: ...
