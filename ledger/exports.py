"""Archives that a server makes for its owner: the whole collection, as one file."""

from dataclasses import dataclass

from ledger.makings import Making, Makings

__all__ = ["Export", "Exports", "Outcome"]


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What an archive came to."""

    size: int
    """Bytes of the file."""
    entries: int
    pictures: int
    missing: tuple[str, ...]
    """Photographs that are not in it, by their digests."""


@dataclass(frozen=True, kw_only=True)
class Export(Making[Outcome]):
    """One archive, counted by its lines and photographs."""

    keys: bool
    """The signing key goes along."""


Exports = Makings[Export, Outcome]
