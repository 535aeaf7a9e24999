"""Photographs as files named by their SHA-256, original and clean copy; a process apart reads the pictures."""

import hashlib
import os
import secrets
import shutil
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

from ledger.adapters.folders import force_folder, make_folder
from ledger.adapters.partials import FilePartials
from ledger.adapters.picture_decoder import MEND, PIXELS_MOST, SIDE_MOST, Refused
from ledger.adapters.picture_reader import PictureReader
from ledger.adapters.small_pictures import SmallPictures, small_copy
from ledger.arriving import PICTURE_MOST, Glimpse
from ledger.errors import NotFoundError
from ledger.events.photograph import Crop
from ledger.ports import KeptPicture, Told
from ledger.proof.report import MalformedError

__all__ = ["BYTES_MOST", "PIXELS_MOST", "READER", "SIDE_MOST", "FilePictures", "clean_copy"]

BYTES_MOST = PICTURE_MOST
REMEMBERED = 512
"""Photographs kept last, which are not decoded again when they come again."""
READER = PictureReader()
"""One for the whole program; it is started with the first picture."""

_PIECE: Final = 1 << 20
_BEGIN_BYTES: Final = 16
"""More than any kind of picture is known by. Source: ISO/IEC 15948 section 5.2 has eight, the longest of them."""


class FilePictures:
    """A folder of pictures, each file named by the SHA-256 of its bytes and never written twice.

    Keeps: a file appears under its name only after its bytes were forced to the disk and read back.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._small = SmallPictures(folder.with_name(f"{folder.name}-small"))
        self.partials = FilePartials(folder.with_name(f"{folder.name}-arriving"))
        self._writing = threading.Lock()
        self._kept: dict[str, KeptPicture] = {}

    def keep(self, data: bytes) -> KeptPicture:
        """Original and clean copy on the disk: the copy upright, re-encoded, with no metadata.

        Raises: MalformedError for a file that is no picture or too large.
        """
        name = hashlib.sha256(data).hexdigest()
        was_here = self.digest(name) == name
        known = self._kept.get(name)
        if was_here and known is not None and self.digest(known.clean) == known.clean:
            return replace(known, was_here=True)
        clean, width, height = clean_copy(data)
        kept = KeptPicture(
            original=self._put(data), clean=self._put(clean), width=width, height=height, was_here=was_here
        )
        with self._writing:
            self._kept[name] = kept
            while len(self._kept) > REMEMBERED:
                del self._kept[next(iter(self._kept))]
        return kept

    def glimpse(self, data: bytes, width: int) -> Glimpse:
        """The picture as a clean copy no wider than this, of which nothing is kept.

        Raises: MalformedError for a file that is no picture or too large.
        """
        clean, wide, high = clean_copy(data)
        return Glimpse(jpeg=small_copy(clean, width), width=wide, height=high)

    def read(self, sha256: str) -> bytes:
        """Raises: NotFoundError."""
        try:
            return self._path(sha256).read_bytes()
        except FileNotFoundError as error:
            raise NotFoundError(what="photograph", name=sha256) from error

    def pieces(self, sha256: str) -> Iterator[bytes]:
        """The bytes, a piece at a time.

        Raises: NotFoundError.
        """
        try:
            with self._path(sha256).open("rb") as file:
                while piece := file.read(_PIECE):
                    yield piece
        except FileNotFoundError as error:
            raise NotFoundError(what="photograph", name=sha256) from error

    def small(self, sha256: str, width: int, part: Crop | None = None) -> bytes:
        """A copy of a clean copy, or of a part of it alone, no wider than this, made once.

        Raises: NotFoundError for a picture that is not there, or is none any more.
        """
        path = self._path(sha256)
        try:
            return self._small.kept(sha256, width, part) or self._small.make(sha256, width, path.read_bytes(), part)
        except OSError as error:
            raise NotFoundError(what="photograph", name=sha256) from error

    def told(self, sha256: str) -> Told:
        """What the original tells of itself, read in the process apart; `unread` alone where that failed.

        Raises: NotFoundError.
        """
        found = READER.told(self.read(sha256))
        return [("unread", "")] if found is None else found

    def stored(self) -> list[str]:
        """Every name in the folder."""
        return sorted(path.name for path in self.folder.glob("??/*") if not path.name.startswith("."))

    def glance(self, sha256: str) -> tuple[int, bytes] | None:
        """How long the file is now and how it begins, none of the rest is read; None when there is no file."""
        try:
            with self._path(sha256).open("rb") as file:
                return os.fstat(file.fileno()).st_size, file.read(_BEGIN_BYTES)
        except FileNotFoundError:
            return None

    def digest(self, sha256: str) -> str | None:
        """What the file's bytes hash to now; None when there is no file."""
        try:
            with self._path(sha256).open("rb") as file:
                return hashlib.file_digest(file, "sha256").hexdigest()
        except FileNotFoundError:
            return None

    def room(self) -> int | None:
        """Bytes left on the disk of the folder, for somebody who is no superuser."""
        near = next(each for each in (self.folder, *self.folder.parents) if each.exists())
        return shutil.disk_usage(near).free

    def _path(self, sha256: str) -> Path:
        if len(sha256) != hashlib.sha256().digest_size * 2 or not set(sha256) <= set("0123456789abcdef"):
            raise NotFoundError(what="photograph", name=sha256)
        return self.folder / sha256[:2] / sha256

    def _put(self, data: bytes) -> str:
        """The name under which the bytes are kept; of two threads with one picture, the second finds it there."""
        name = hashlib.sha256(data).hexdigest()
        with self._writing:
            if self.digest(name) != name:
                self._write(data, name)
        return name

    def _write(self, data: bytes, name: str) -> None:
        """Temporary name, force to disk, read back, compare, rename, force the folder to disk.

        Keeps: after a failure nothing stands under the final name, for what was forced in vain may be lost unseen.
        """
        path = self._path(name)
        make_folder(path.parent)
        draft = path.parent / f".{secrets.token_hex(8)}"
        try:
            with draft.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            _need_digest(draft, name)
            _give_name(draft, path)
        finally:
            draft.unlink(missing_ok=True)


def clean_copy(data: bytes) -> tuple[bytes, int, int]:
    """The picture upright, in standard colours, as JPEG with no metadata; with its width and height in pixels.

    Keeps: it is decoded in another process, which has so much memory and time and no more.
    Raises: MalformedError.
    """
    if len(data) > BYTES_MOST:
        raise _no_picture(f"it has {len(data)} bytes and {BYTES_MOST} is the most", "Give a smaller file.")
    answer = READER.ask(data)
    if answer is None:
        raise _no_picture("reading it takes more time or memory than a picture may", MEND)
    if isinstance(answer, Refused):
        raise _no_picture(answer.problem, answer.mend)
    return answer.jpeg, answer.width, answer.height


def _need_digest(path: Path, name: str) -> None:
    if hashlib.sha256(path.read_bytes()).hexdigest() != name:
        raise OSError(f"{path} does not hold what was written to it")


def _give_name(draft: Path, path: Path) -> None:
    try:
        draft.replace(path)
        force_folder(path.parent)
    except OSError:
        path.unlink(missing_ok=True)
        raise


def _no_picture(problem: str, mend: str) -> MalformedError:
    return MalformedError(what="The photograph", problem=problem, mend=mend)
