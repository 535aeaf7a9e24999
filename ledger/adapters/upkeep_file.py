"""The notes of upkeep in a small file in the data folder, so that a command beside the server can write them."""

import json
from dataclasses import asdict, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from ledger.adapters.whole_files import write_whole
from ledger.upkeep import Done, PutBack, Upkeep

__all__ = ["FileUpkeep"]

_NAME = "upkeep.json"
_PARTS: dict[str, type[Done | PutBack]] = {"backup": Done, "drill": Done, "put_back": PutBack}


class FileUpkeep:
    """As `ports.UpkeepNotes`, in a file; one that cannot be read says nothing, and is written anew."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / _NAME

    def read(self) -> Upkeep:
        """What is noted."""
        try:
            found = json.loads(self._path.read_bytes())
            return Upkeep(**{name: _read(kind, found[name]) for name, kind in _PARTS.items() if found.get(name)})
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            return Upkeep()

    def note(self, **changes: Done | PutBack | None) -> None:
        """These parts from now on; the others stay.

        Raises: OSError.
        """
        told = replace(self.read(), **changes)  # type: ignore[arg-type]  # a part of each name is of its kind
        plain = {name: _plain(getattr(told, name)) for name in _PARTS}
        write_whole(self._path, json.dumps(plain, indent=1).encode())


def _plain(part: Done | PutBack | None) -> dict[str, Any] | None:
    return None if part is None else {**asdict(part), "when": part.when.isoformat()}


def _read(kind: type[Done | PutBack], found: dict[str, Any]) -> Any:  # noqa: ANN401 - one of two kinds
    given = {each.name: found[each.name] for each in fields(kind)}
    return kind(**{**given, "when": datetime.fromisoformat(given["when"])})
