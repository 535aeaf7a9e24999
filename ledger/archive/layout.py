"""What lies where in an archive, and what it says of itself, the first thing that is read of it."""

import re
from dataclasses import dataclass
from typing import Any, Final, NoReturn

from ledger.proof import checkpoint as checkpoint_text
from ledger.proof.canonical import decode, encode
from ledger.proof.checkpoint import Checkpoint, collection_of
from ledger.proof.report import MalformedError

__all__ = [
    "BAGIT",
    "BAG_INFO",
    "ENTRIES",
    "FORMAT",
    "HEAD",
    "KEYS",
    "MANIFEST",
    "SIGNED",
    "TAGS",
    "TAG_MANIFEST",
    "TOP",
    "Head",
    "picture_of",
    "picture_path",
    "table_of",
    "table_path",
    "to_sign",
]

FORMAT: Final = "slipsheet-archive/1"
TOP: Final = "slipsheet-archive"
"""The one folder in the zip: the bag."""

BAGIT: Final = "bagit.txt"
HEAD: Final = "data/archive.json"
ENTRIES: Final = "data/entries.jsonl"
KEYS: Final = "data/keys.json"
BAG_INFO: Final = "bag-info.txt"
MANIFEST: Final = "manifest-sha256.txt"
SIGNED: Final = "signed.txt"
TAG_MANIFEST: Final = "tagmanifest-sha256.txt"
TAGS: Final = (BAGIT, BAG_INFO, MANIFEST, SIGNED, TAG_MANIFEST)

_TABLE: Final = re.compile(r"data/tables/([a-z][a-z_]{0,60})\.jsonl")
_PICTURE: Final = re.compile(r"data/pictures/([0-9a-f]{2})/(\1[0-9a-f]{62})")
_MADE: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")
_FIRST_LINE: Final = "slipsheet archive 1"
"""No checkpoint and no manifest of a backup begins like it, so no signature can be taken for another's."""
_WHAT: Final = "What the archive says of itself"


@dataclass(frozen=True, kw_only=True)
class Head:
    """What an archive says of itself: when it was made, the ledger in it, and how much of everything there is."""

    made: str
    """UTC with microseconds."""
    state: Checkpoint
    """Size and roots of the ledger in it."""
    tables: dict[str, int]
    """Rows of each table beside the entries."""
    pictures: int
    keys: bool
    """The signing key is in it, under a passphrase."""

    @property
    def collection(self) -> str:
        """Whose it is."""
        return collection_of(self.state.origin)

    def to_bytes(self) -> bytes:
        """The one spelling of it, and the end of a line."""
        said: dict[str, Any] = {
            "format": FORMAT,
            "made": self.made,
            "checkpoint": self.state.to_text(),
            "tables": self.tables,
            "pictures": self.pictures,
            "keys": self.keys,
        }
        return encode(said, what=_WHAT) + b"\n"

    @classmethod
    def from_bytes(cls, data: bytes) -> "Head":
        """Raises: MalformedError, also for an archive of a version that is not known here."""
        said = decode(data.removesuffix(b"\n"), what=_WHAT)
        found = said.get("format") if isinstance(said, dict) else None
        if found != FORMAT or not isinstance(said, dict):
            problem = f"this program reads {FORMAT} and not {ascii(found)[:60]}"
            _refuse("format", problem, "Read it with the program that wrote it, or with a newer one.")
        try:
            head = cls(
                made=_text(said["made"]),
                state=checkpoint_text.parse(_text(said["checkpoint"])),
                tables={name: _count(rows) for name, rows in dict(said["tables"]).items()},  # type: ignore[arg-type]
                pictures=_count(said["pictures"]),
                keys=bool(said["keys"]),
            )
        except (KeyError, TypeError, ValueError) as error:
            _refuse("", f"it is not whole ({error})", "Take another copy of the file.")
        if not _MADE.fullmatch(head.made) or head.to_bytes() != data:
            _refuse("", "it is spelled otherwise than an archive spells it", "Take another copy of the file.")
        return head


def table_path(table: str) -> str:
    """Where the rows of a table lie."""
    return f"data/tables/{table}.jsonl"


def table_of(path: str) -> str | None:
    """The table whose rows lie there."""
    found = _TABLE.fullmatch(path)
    return found[1] if found else None


def picture_path(sha256: str) -> str:
    """Where a photograph lies."""
    return f"data/pictures/{sha256[:2]}/{sha256}"


def picture_of(path: str) -> str | None:
    """The digest of the photograph that lies there."""
    found = _PICTURE.fullmatch(path)
    return found[2] if found else None


def to_sign(head: Head, manifest_sha256: str) -> str:
    """The text that is signed: it stands for every file of the payload, through the list of their checksums."""
    return f"{_FIRST_LINE}\nmade {head.made}\n{head.state.to_text()}manifest {manifest_sha256}\n"


def _text(said: object) -> str:
    if not isinstance(said, str):
        raise TypeError(said)
    return said


def _count(said: object) -> int:
    if isinstance(said, bool) or not isinstance(said, int) or said < 0:
        raise TypeError(said)
    return said


def _refuse(where: str, problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)
