"""How much of a photograph may come at once, and what is said of one that is still on its way."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Final, Protocol

__all__ = ["PICTURE_MOST", "PIECE_MOST", "Glimpse", "Partial", "Partials", "PartialsFull"]

PICTURE_MOST: Final = 64 * 1024 * 1024
"""Bytes of one photograph. Our assumption: several times what a camera of forty megapixels writes as JPEG."""
PIECE_MOST: Final = 8 * 1024 * 1024
"""Bytes of one piece of a photograph that comes in pieces."""


@dataclass(frozen=True, kw_only=True)
class Partial:
    """A file that is not whole yet, under an id that only its sender knows. Units: bytes."""

    id: str
    size: int
    held: int
    """How much of it is here; the next piece begins there."""

    @property
    def is_whole(self) -> bool:
        """All of it has come."""
        return self.held == self.size


@dataclass(frozen=True, kw_only=True)
class Glimpse:
    """A picture that is looked at and kept nowhere. Units: px."""

    jpeg: bytes = field(repr=False)
    """A clean copy, no wider than was asked for."""
    width: int
    """Of the whole, as its height."""
    height: int


class PartialsFull(Exception):  # noqa: N818 - a signal between port and use case, never an error of its own
    """There is no room for one more file on its way."""


class Partials(Protocol):
    """Files on their way in, each found by its sender alone; `read` is what is here of one.

    `begin` finds again what the same sender began under the same name and size, and raises PartialsFull. `add` is None for
    a piece that does not begin where the last one ended. `sweep` deletes what nothing has come of since then.
    Raises: NotFoundError.
    """

    def begin(self, owner: bytes, named: str, size: int) -> Partial: ...
    def look(self, owner: bytes, name: str) -> Partial: ...
    def add(self, owner: bytes, name: str, offset: int, data: bytes) -> Partial | None: ...
    def read(self, owner: bytes, name: str) -> bytes: ...
    def drop(self, owner: bytes, name: str) -> None: ...
    def sweep(self, before: datetime) -> int: ...
