"""What the use cases need of the photographs' folder."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from ledger.arriving import Glimpse, Partials
from ledger.events.photograph import Crop

__all__ = ["KeptPicture", "Pictures", "Told"]

Told = Sequence[tuple[str, str]]
"""What an original tells of itself: a name of the decoder's list, and the value as text."""


@dataclass(frozen=True, kw_only=True)
class KeptPicture:
    """A picture after intake: its original, the clean copy that is shown, and the copy's size in pixels."""

    original: str
    clean: str
    width: int
    height: int
    was_here: bool = field(default=False, compare=False)
    """The same file was kept before; it is one file still."""


class Pictures(Protocol):
    """Photographs by the SHA-256 of their bytes; what `keep` returned is durable and was read back.

    `small` is a copy of a clean copy, or of a part of it alone, no wider than that many pixels; NotFoundError where there
    is no picture. `glance` is its size and its first bytes, None where it is not there. `told` is what an original tells of
    itself, by names of its own. `room` is how many bytes there are left for them; None where they lie on no disk.
    `glimpse` is what a clean copy so wide would be, and keeps nothing of it. `pieces` are the bytes a piece at a time.
    """

    def keep(self, data: bytes) -> KeptPicture: ...
    def glimpse(self, data: bytes, width: int) -> Glimpse: ...
    def read(self, sha256: str) -> bytes: ...
    def pieces(self, sha256: str) -> Iterator[bytes]: ...
    def small(self, sha256: str, width: int, part: Crop | None = None) -> bytes: ...
    def stored(self) -> list[str]: ...
    def glance(self, sha256: str) -> tuple[int, bytes] | None: ...
    def digest(self, sha256: str) -> str | None: ...
    def room(self) -> int | None: ...
    def told(self, sha256: str) -> Told: ...
    @property
    def partials(self) -> Partials: ...
