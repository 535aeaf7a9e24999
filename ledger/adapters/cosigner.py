"""What a second person keeps who cosigns: their key, and beside it the file of what they cosigned last."""

from pathlib import Path
from typing import Final

from ledger.adapters.keys import SEED_BYTES, write_key
from ledger.adapters.whole_files import write_whole
from ledger.errors import ConflictError
from ledger.proof.cosigned import Cosigned
from ledger.proof.report import MalformedError
from ledger.proof.signature import CosigningKey

__all__ = ["FIRST_LINE", "keep_seen", "make_key", "read_cosigning_key", "read_seen", "seen_path"]

FIRST_LINE: Final = "slipsheet cosigning key"
_LINES: Final = 3


def make_key(path: Path, name: str, seed: bytes) -> CosigningKey:
    """A new key in a file that only its owner reads.

    Raises: ConflictError where a file is there already; MalformedError for a name under which nobody can sign.
    """
    key = CosigningKey.from_seed(name, seed)
    if path.exists():
        raise ConflictError(
            sentence=f"{path} is there already. A key is never written over another: choose another name."
        )
    write_key(path, f"{FIRST_LINE}\n{name}\n{seed.hex()}\n".encode())
    return key


def read_cosigning_key(path: Path, name: str) -> CosigningKey:
    """The key of a file, which goes by that name.

    Raises: ConflictError, MalformedError.
    """
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError as error:
        raise ConflictError(sentence=f"The key file {path} cannot be read: {error.strerror or error}.") from error
    try:
        seed = bytes.fromhex(lines[2]) if len(lines) == _LINES and lines[0] == FIRST_LINE else b""
    except ValueError:
        seed = b""
    if len(seed) != SEED_BYTES:
        raise MalformedError(
            what=f"The key file {path}",
            problem="it does not hold a cosigning key",
            mend="Make one with slipsheet cosign-key, or put it back from your copy.",
        )
    if lines[1] != name:
        raise ConflictError(
            sentence=f"The key in {path} goes by the name {lines[1]}, not {name}. Cosign under that one."
        )
    return CosigningKey.from_seed(name, seed)


def seen_path(key: Path) -> Path:
    """Where it stands what was cosigned with a key."""
    return key.with_name(f"{key.name}.seen")


def read_seen(key: Path) -> Cosigned:
    """What was cosigned with a key so far; nothing where there is no file yet.

    Raises: MalformedError, OSError.
    """
    path = seen_path(key)
    return Cosigned.from_bytes(path.read_bytes()) if path.exists() else Cosigned()


def keep_seen(key: Path, cosigned: Cosigned) -> None:
    """It is on the disk before the cosignature leaves the house. Source: C2SP tlog-witness.

    Raises: OSError.
    """
    write_whole(seen_path(key), cosigned.to_bytes())
