"""What stands around every page: the words on the ruler at its head, and the ledger's line at its foot."""

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

__all__ = ["Checked", "Frame", "Place", "Theme", "Told"]


class Place(StrEnum):
    """A word on the ruler; it leads to the path of the same name."""

    WALL = "wall"
    COLLECTION = "collection"
    BENCH = "bench"
    LEDGER = "ledger"
    CHECK = "check"
    RULES = "rules"
    SETTINGS = "settings"

    @property
    def path(self) -> str:
        """Where the word leads."""
        return f"/{self.value}"


class Theme(StrEnum):
    """Which palette the pages take; the system's own unless the owner chose."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


ON_A_PHONE = frozenset({Place.WALL, Place.COLLECTION, Place.BENCH, Place.LEDGER, Place.RULES})
"""Words that lead a paired phone somewhere."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """One sentence told once, after something was done."""

    sentence: str
    draft: str = ""
    """Names of the kept drafts that this brought to their end, parted by spaces; empty for none."""


@dataclass(frozen=True, kw_only=True)
class Checked:
    """When every entry was last read again, and how many findings there were."""

    at: datetime
    findings: int


@dataclass(frozen=True, kw_only=True)
class Frame:
    """What every page needs beside its own facts.

    Keeps: nothing of the ledger is in it for somebody who is not signed in.
    """

    path: str
    """Path of this page, to come back to."""
    current: Place | None = None
    signed_in: bool = False
    theme: Theme = Theme.SYSTEM
    entries: int | None = None
    checked: Checked | None = None
    """Null when the ledger was never checked, or not as far as known."""
    told: Told | None = None
    held: bool = False
    """Nothing is written to the ledger for now."""
    phone: str = ""
    """Name of the paired phone that this is shown on; empty for a session that can do all."""

    @property
    def places(self) -> tuple[Place, ...]:
        """The words on the ruler, in order; none before signing in."""
        shown = ON_A_PHONE if self.phone else frozenset(Place)
        return tuple(each for each in Place if each in shown) if self.signed_in else ()

    def at(self, place: Place) -> "Frame":
        """The same frame with this word marked on the ruler."""
        return replace(self, current=place)
