"""Takes a whole collection out into one file, beside a server that goes on writing."""

import os
import secrets
from functools import partial
from pathlib import Path
from typing import BinaryIO, Final, cast

from ledger.adapters.folders import force_folder, make_folder
from ledger.adapters.whole_files import DRAFT
from ledger.bootstrap import OWNER, open_to_read
from ledger.errors import ConflictError
from ledger.keeping.backup import Progress, sign_what_is_there
from ledger.settings import Settings
from ledger.usecases.take_out import TakenOut, take_out

__all__ = ["take_out_to"]

_QUIET: Final[Progress] = lambda _what, _done, _all: None  # noqa: E731 - a default that says nothing


def take_out_to(
    settings: Settings, path: Path, *, passphrase: str | None = None, progress: Progress = _QUIET
) -> TakenOut:
    """The archive under that name, for its owner alone to read; with the signing key where a passphrase is given.

    Keeps: the file is there whole or not at all, and takes the place of none.
    Raises: ConflictError, InvalidError, StoreError, OSError.
    """
    if path.exists():
        raise ConflictError(sentence=f"There is a file {path} already. Name another one with --to.")
    sign_what_is_there(settings)
    make_folder(path.parent)
    draft = path.parent / f"{DRAFT}{secrets.token_hex(8)}"
    try:
        handle = os.open(draft, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w+b") as file, open_to_read(settings) as ledger:
            counted = partial(progress, "lines and photographs")
            made = take_out(ledger, OWNER, cast("BinaryIO", file), passphrase=passphrase, progress=counted)
            file.flush()
            os.fsync(file.fileno())
        draft.rename(path)
        force_folder(path.parent)
    finally:
        draft.unlink(missing_ok=True)
    return made
