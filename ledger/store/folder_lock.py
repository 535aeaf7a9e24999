"""The folder's lock: one process owns a data folder, and a process that died owns nothing."""

import os
import sys
from pathlib import Path
from typing import IO

from ledger.errors import BusyError

__all__ = ["FolderLock"]

if sys.platform == "win32":
    import msvcrt

    def _take(file: IO[bytes]) -> None:
        # A locked byte cannot be read there: one far behind the number is locked, so that the number can be.
        file.seek(1 << 20)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        file.seek(0)

else:
    import fcntl

    def _take(file: IO[bytes]) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


class FolderLock:
    """Ownership of a data folder, from the moment it is made until `release`.

    Keeps: the operating system holds the lock, so it ends with its process however that one ends; the file stays, for
    to delete it would let two processes lock two files of one name.
    Raises: BusyError naming the process that owns the folder.
    """

    def __init__(self, path: Path) -> None:
        self._file: IO[bytes] | None = path.open("a+b")
        try:
            _take(self._file)
        except OSError as error:
            self._file.seek(0)
            owner = self._file.read(20).decode("ascii", "replace").strip()
            self.release()
            raise BusyError(folder=str(path.parent), owner=owner or "unknown") from error
        try:
            self._file.truncate(0)
            self._file.write(f"{os.getpid()}\n".encode("ascii"))
            self._file.flush()
        except BaseException:
            self.release()
            raise

    def release(self) -> None:
        """Give the folder back; once is enough, and more does no harm."""
        if self._file is not None:
            self._file.close()
            self._file = None
