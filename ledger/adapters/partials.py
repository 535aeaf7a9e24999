"""Files that are on their way in, each one file beside the photographs, which no backup and no check looks at."""

import hashlib
import re
import secrets
import threading
from datetime import datetime
from pathlib import Path
from typing import Final

from ledger.adapters.folders import make_folder
from ledger.arriving import Partial, PartialsFull
from ledger.errors import NotFoundError

__all__ = ["FilePartials"]

EACH_MOST: Final = 64
"""Files that one sender may have on their way."""
ALL_MOST: Final = 4 * 1024 * 1024 * 1024
"""Bytes that all files on their way may come to."""
_ID: Final = re.compile(r"[0-9a-f]{32}")


class FilePartials:
    """A folder of files that are not whole; the name of each says whose it is, how long, and under which id.

    Keeps: what is here is the beginning of the file, without a gap; nobody but its sender finds it.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._writing = threading.Lock()

    def begin(self, owner: bytes, named: str, size: int) -> Partial:
        """The file of that name and size that this sender began before, or a new one.

        Raises: PartialsFull.
        """
        with self._writing:
            whose, what = _short(owner), _short(named.encode())
            own = sorted(self.folder.glob(f"{whose}.*"))
            for path in own:
                if path.name.startswith(f"{whose}.{what}.{size}."):
                    return _partial(path)
            on_the_way = sum(_partial(each).size for each in self.folder.glob("*.*.*.*"))
            if len(own) >= EACH_MOST or on_the_way + size > ALL_MOST:
                raise PartialsFull
            path = self.folder / f"{whose}.{what}.{size}.{secrets.token_hex(16)}"
            make_folder(self.folder)
            path.touch(exist_ok=False)
            return _partial(path)

    def look(self, owner: bytes, name: str) -> Partial:
        """Raises: NotFoundError."""
        return _partial(self._path(owner, name))

    def add(self, owner: bytes, name: str, offset: int, data: bytes) -> Partial | None:
        """One piece more; None where it does not begin where the last one ended, or is longer than what is left.

        Raises: NotFoundError.
        """
        with self._writing:
            path = self._path(owner, name)
            before = _partial(path)
            if offset != before.held or before.held + len(data) > before.size:
                return None
            with path.open("ab") as file:
                file.write(data)
            return _partial(path)

    def read(self, owner: bytes, name: str) -> bytes:
        """What is here of it.

        Raises: NotFoundError.
        """
        return self._path(owner, name).read_bytes()

    def drop(self, owner: bytes, name: str) -> None:
        """It is no longer on its way; a second time changes nothing."""
        with self._writing:
            try:
                self._path(owner, name).unlink(missing_ok=True)
            except NotFoundError:
                return

    def sweep(self, before: datetime) -> int:
        """How many were deleted because nothing had come of them since then."""
        with self._writing:
            old = [each for each in self.folder.glob("*.*.*.*") if each.stat().st_mtime < before.timestamp()]
            for each in old:
                each.unlink(missing_ok=True)
            return len(old)

    def _path(self, owner: bytes, name: str) -> Path:
        if _ID.fullmatch(name):
            for path in self.folder.glob(f"{_short(owner)}.*.*.{name}"):
                return path
        raise NotFoundError(what="file on its way", name=name)


def _partial(path: Path) -> Partial:
    _, _, size, name = path.name.split(".")
    return Partial(id=name, size=int(size), held=path.stat().st_size)


def _short(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:32]
