"""Reads what was named on a command line: the file or folder that was given, keys from elsewhere, an older checkpoint.

This and `__main__` are the only parts of the proofs that open a file of somebody else's.
"""

import stat
from collections.abc import Sequence
from pathlib import Path
from typing import Final, NoReturn

from ledger.proof.eight import first_bytes, is_words
from ledger.proof.given import Asked, Checked, check_given
from ledger.proof.keys import VerifierKey, parse_vkey
from ledger.proof.report import MalformedError
from ledger.proof.stamped import StampCheck
from ledger.proof.zipped import BYTES_MOST, FILES_MOST

__all__ = ["asked", "check_path"]

_KEY_MOST: Final = 4096
_BESIDE_MOST: Final = 8 * 1024 * 1024
"""Bytes of a checkpoint or a file of keys: both are a few lines or a few entries. Our assumption."""
_AGAIN: Final = "Ask for the file again."
_SMALLER: Final = "Check it on a machine with more, or check the file record.json that is in it."


def asked(
    keys: Sequence[str],
    held: Path | None,
    given: Path,
    chains: Sequence[Path] = (),
    stamps: StampCheck | None = None,
) -> Asked:
    """Keys as they were given: each a whole line, eight words, or a file that has one of the two; `chains` are files.

    Raises: MalformedError, OSError.
    """
    whole: list[VerifierKey] = []
    words: list[bytes] = []
    for text in keys:
        said = text.strip()
        if "+" not in said and not is_words(said):
            said = _key_file(Path(text), given)
        if is_words(said):
            words.append(first_bytes(said))
        else:
            whole.append(parse_vkey(said))
    older = _content(held, "The checkpoint you hold", _BESIDE_MOST) if held is not None else None
    more = tuple(_content(each, "The file of keys", _BESIDE_MOST) for each in chains)
    return Asked(keys=tuple(whole), words=tuple(words), held=older, chains=more, stamps=stamps)


def check_path(given: Path, what: Asked) -> Checked:
    """The verdict on a file, or on a bag that was unpacked into a folder.

    Raises: MalformedError where the folder has what no bag has or all of it does not fit into the memory, OSError.
    """
    try:
        return check_given(_folder(given) if given.is_dir() else _content(given, "The file"), what)
    except MemoryError:
        # What a file may unpack to is bounded, and may still be more than this machine has.
        _refuse("The file", "", "it takes more memory than there is here", _SMALLER)


def _key_file(path: Path, given: Path) -> str:
    """What a key's file says; never one that came with the record, since that proves nothing."""
    if given.is_dir() and path.resolve().is_relative_to(given.resolve()):
        _refuse("The key", "", "its file lies in the bag that it is to check", "Get it by another way than the bag.")
    if path.stat().st_size > _KEY_MOST:
        _refuse("The key", "", "its file is too long for one", "A key is one line.")
    return _content(path, "The key").decode("utf-8", "replace").strip()


def _content(path: Path, what: str, most: int = BYTES_MOST) -> bytes:
    if path.stat().st_size > most:
        _refuse(what, "", f"it has more than {most} bytes", _AGAIN)
    return path.read_bytes()


def _folder(top: Path) -> dict[str, bytes]:
    """Every file under a folder by its name there, and folders with a slash behind; nothing is followed out of it."""
    found: dict[str, bytes] = {}
    total = 0
    for path in top.rglob("*"):
        name = path.relative_to(top).as_posix()
        said = path.lstat()
        if len(found) >= FILES_MOST or (total := total + said.st_size) > BYTES_MOST:
            _refuse("The folder", "", f"it holds more than {FILES_MOST} files or {BYTES_MOST} bytes", _AGAIN)
        if stat.S_ISDIR(said.st_mode):
            found[f"{name}/"] = b""
        elif stat.S_ISREG(said.st_mode):
            found[name] = path.read_bytes()
        else:
            _refuse("The folder", ascii(name[:200]), "it is a link or a device, and no file", _AGAIN)
    return found


def _refuse(what: str, where: str, problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=what, where=where, problem=problem, mend=mend)
