"""A restore drill: the newest backup put back into a passing folder, verified there, and thrown away again."""

import tempfile
from dataclasses import replace
from pathlib import Path

from ledger.adapters.clock import SystemClock
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.keeping.backup import Progress
from ledger.keeping.restore import Restored, restore
from ledger.settings import Settings
from ledger.upkeep import Done

__all__ = ["drill"]


def drill(
    source: Path, settings: Settings, *, vkey: str | None = None, progress: Progress = lambda _what, _done, _all: None
) -> Restored:
    """What putting the backup back came to; when it was done is noted beside the ledger.

    Keeps: the ledger itself is not touched.
    Raises: as `restore`.
    """
    with tempfile.TemporaryDirectory(prefix="slipsheet-drill-") as passing:
        elsewhere = replace(settings, folder=str(Path(passing) / "data"), database="", collection="")
        found = restore(source, elsewhere, vkey=vkey, progress=progress)
    state = found.found.manifest.state
    done = Done(when=SystemClock().now(), place=str(found.found.folder), size=state.size, whole=found.report.ok)
    FileUpkeep(Path(settings.folder)).note(drill=done)
    return found
