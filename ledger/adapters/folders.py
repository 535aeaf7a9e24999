"""Folders whose names reach the disk: a file that was forced there is lost all the same when its name was not."""

import os
from pathlib import Path


def make_folder(folder: Path, *, mode: int = 0o777) -> None:
    """The folder and those above it, each new name forced to the disk."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(mode=mode, parents=True, exist_ok=True)
    for each in reversed(missing):
        force_folder(each.parent)


def force_folder(folder: Path) -> None:
    """The names in it reach the disk; Windows has no way to ask for that."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
