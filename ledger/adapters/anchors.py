"""The anchor: the newest checkpoint in a file outside the data folder, which no restore puts back."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock

from ledger.adapters.folders import force_folder
from ledger.adapters.whole_files import write_whole

__all__ = ["FileAnchor", "anchor_path"]


def anchor_path(folder: Path, collection: str) -> Path:
    """Where the anchor of a collection lies: beside its key, for that folder is outside the data already."""
    return folder / f"{collection}.anchor"


class FileAnchor:
    """As `ports.Anchor`, in a file."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._own = Lock()

    @property
    def place(self) -> str:
        """Where it lies, in words for a person."""
        return str(self._path)

    def read(self) -> str | None:
        """The checkpoint in it; None where there is no file.

        Raises: OSError.
        """
        try:
            return self._path.read_text("utf-8", errors="replace")
        except FileNotFoundError:
            return None

    def swap(self, expected: str | None, note: str | None) -> bool:
        """That checkpoint, or none, in the place of the one that was read; False where it is another one by now.

        Raises: OSError.
        """
        with self._own, self._alone():
            if self.read() != expected:
                return False
            if note is not None:
                write_whole(self._path, note.encode())
            elif expected is not None:
                self._path.unlink()
                force_folder(self._path.parent)
            return True

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """No other process is between reading and writing it."""
        self._path.parent.mkdir(parents=True, exist_ok=True)
        with _locked(self._path.with_suffix(".anchor-lock")):
            yield


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    with path.open("a+b") as file:
        _take(file.fileno())
        yield


try:
    import fcntl

    def _take(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX)

except ImportError:  # Windows
    import msvcrt

    def _take(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined, unused-ignore]
