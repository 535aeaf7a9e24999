"""Files that are there whole or not at all: written under another name, forced to the disk, read back, then named."""

import hashlib
import os
import secrets
from pathlib import Path
from typing import Final

from ledger.adapters.folders import force_folder, make_folder

__all__ = ["DRAFT", "copy_whole", "digest_of", "force_file", "write_whole"]

DRAFT: Final = ".draft-"
"""Begins the name of a file that is not whole yet; what is left of one after a failure says so."""


def digest_of(path: Path) -> str:
    """SHA-256 of a file's bytes, lower hex.

    Raises: OSError.
    """
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def copy_whole(source: Path, target: Path) -> str:
    """The digest of the copy, as it was read back from the disk.

    Raises: OSError, also where the copy is not what was copied.
    """
    make_folder(target.parent)
    draft = target.parent / f"{DRAFT}{secrets.token_hex(8)}"
    try:
        with source.open("rb") as reading, draft.open("xb") as writing:
            hashed = hashlib.sha256()
            while block := reading.read(1 << 20):
                hashed.update(block)
                writing.write(block)
            writing.flush()
            os.fsync(writing.fileno())
        found = digest_of(draft)
        if found != hashed.hexdigest():
            raise OSError(f"{draft} does not hold what was written to it")
        _name(draft, target)
    finally:
        draft.unlink(missing_ok=True)
    return found


def write_whole(path: Path, data: bytes, *, mode: int = 0o600) -> None:
    """The file holds these bytes, or what it held before.

    Raises: OSError.
    """
    make_folder(path.parent)
    draft = path.parent / f"{DRAFT}{secrets.token_hex(8)}"
    try:
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _name(draft, path)
    finally:
        draft.unlink(missing_ok=True)


def _name(draft: Path, path: Path) -> None:
    draft.replace(path)
    force_folder(path.parent)


def force_file(path: Path) -> None:
    """What another library wrote to a file reaches the disk, and its name too.

    Raises: OSError.
    """
    with path.open("r+b") as file:
        os.fsync(file.fileno())
    force_folder(path.parent)
