"""Collection: the state of the collection itself, its keys, rooms, climate logs and edited rules, as its own entries leave it."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ledger.when import When


@dataclass(frozen=True, kw_only=True)
class KeyPeriod:
    """One signing key: its verifier key text, the entry that started it, and how it ended."""

    vkey: str
    started_by: int
    signed_by_old: bool
    ended_by: int | None = None
    stolen_since: When | None = None


def _nothing() -> Mapping[Any, int]:
    return MappingProxyType({})


@dataclass(frozen=True, kw_only=True)
class Collection:
    """The collection as its own entries leave it.

    Keeps: every field is a consequence of the entries alone.
    """

    id: str
    keys: tuple[KeyPeriod, ...] = ()
    rooms: Mapping[str, int] = field(default_factory=_nothing)
    rulings: Mapping[tuple[str, str], int] = field(default_factory=_nothing)
    restores: tuple[int, ...] = ()
    climates: Mapping[tuple[str, int], int] = field(default_factory=_nothing)
    """Channels of climate logs in force, by the file's digest and the channel's number."""

    @property
    def key(self) -> KeyPeriod | None:
        """The key in use."""
        return next((period for period in reversed(self.keys) if period.ended_by is None), None)
