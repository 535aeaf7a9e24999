"""Starter steps: what common practice does at the bench, to begin a step or a recipe with and then to make one's own."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ledger.rules._tables import Row, TableError, table
from ledger.rules.cautions import Caution, caution
from ledger.rules.techniques import technique

__all__ = ["Starter", "starter", "starters"]


@dataclass(frozen=True, kw_only=True)
class Starter:
    """One step as common practice has it; whatever it does not name is left open."""

    id: str
    title: str
    technique: str
    settings: Mapping[str, str]
    """Fields of an intervention, by the names a form has for them."""
    note: str
    """Goes with the step; empty for none."""
    says: str
    """What to mind, and what is left open."""
    caution: Caution | None
    sources: tuple[str, ...]

    @property
    def values(self) -> dict[str, str]:
        """What it puts into a form: technique, settings, note."""
        noted = {"note": self.note} if self.note else {}
        return {"technique": self.technique, **self.settings, **noted}


@cache
def starters() -> tuple[Starter, ...]:
    """Every starter step, in the order of the table, which is that of the work.

    Source: the row's own; common practice, no source.
    """
    return tuple(_read(row) for row in table("steps").rows)


def starter(name: str) -> Starter | None:
    """The starter step of that id."""
    return next((each for each in starters() if each.id == name), None)


def _read(row: Row) -> Starter:
    return Starter(
        id=row.id,
        title=row.text("title"),
        technique=technique(row.text("technique")).id,
        settings=_settings(row),
        note=row.text("note"),
        says=row.text("says"),
        caution=None if row.text("caution") == "none" else caution(row.text("caution")),
        sources=row.sources,
    )


def _settings(row: Row) -> Mapping[str, str]:
    found = row.fields.get("settings")
    if not isinstance(found, Mapping) or not all(isinstance(value, str) for value in found.values()):
        raise TableError(where=f"{row.table}, row {row.id}, field settings", problem="this is not texts by name")
    return found
