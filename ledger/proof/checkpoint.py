"""A checkpoint: five facts that stand for a whole ledger, in a text that has one spelling and is signed.

Source: C2SP tlog-checkpoint v1.0.0; the line `heads` is an extension line of our own.
"""

import re
from base64 import b64decode, b64encode
from dataclasses import dataclass
from typing import Final, NoReturn

from ledger.proof.canonical import GREATEST
from ledger.proof.envelope import COLLECTION_ID
from ledger.proof.nodes import EMPTY_ROOT, HASH_BYTES
from ledger.proof.report import MalformedError

__all__ = ["Checkpoint", "collection_of", "origin_of", "parse"]

_DOMAIN: Final = ".slipsheet.invalid"
_WHAT: Final = "The checkpoint"
_NUMBER: Final = re.compile(r"0|[1-9][0-9]{0,15}")
_LINES: Final = 4


@dataclass(frozen=True)
class Checkpoint:
    """How long a ledger is, the root over its entries, how many books it has, and the root over their last entries.

    Requires: an empty list has the empty root and no other list has it; no more books than entries.
    Raises: MalformedError.
    """

    origin: str
    size: int
    root: bytes
    heads_count: int
    heads_root: bytes

    def __post_init__(self) -> None:
        collection_of(self.origin)
        for where, count, root in (("size", self.size, self.root), ("heads", self.heads_count, self.heads_root)):
            if not 0 <= count <= GREATEST:
                _refuse(where, f"there is no number {count} of entries", "It is a whole number from 0.")
            if len(root) != HASH_BYTES:
                _refuse(where, f"its root has {len(root)} bytes", f"A root has {HASH_BYTES} bytes.")
            if (count == 0) != (root == EMPTY_ROOT):
                _refuse(where, "number and root do not go together", "The empty root belongs to 0 and to nothing else.")
        if self.heads_count > self.size:
            _refuse("heads", "there are more books than entries", "Every book has at least one entry.")

    def to_text(self) -> str:
        """The text that is signed. Source: C2SP tlog-checkpoint."""
        root, heads_root = (b64encode(each).decode("ascii") for each in (self.root, self.heads_root))
        return f"{self.origin}\n{self.size}\n{root}\nheads {self.heads_count} {heads_root}\n"


def origin_of(collection: str) -> str:
    """The name under which a collection's checkpoints and its key go, for ever.

    It is made to look like a place on the network and to be none: nothing is ever looked up there.
    Raises: MalformedError.
    Source: RFC 2606 section 2 reserves `.invalid`.
    """
    if not COLLECTION_ID.fullmatch(collection):
        _refuse("collection", "this is no collection's id", "It is 26 letters a to z and digits 2 to 7.")
    return collection + _DOMAIN


def collection_of(origin: str) -> str:
    """The collection that an origin names.

    Raises: MalformedError.
    """
    collection = origin.removesuffix(_DOMAIN)
    if collection == origin or not COLLECTION_ID.fullmatch(collection):
        _refuse("line 1", "this is no collection's origin", f"It is the collection's id and then {_DOMAIN}.")
    return collection


def parse(text: str) -> Checkpoint:
    """The checkpoint that a text says, if that text is what the checkpoint would be written as.

    Raises: MalformedError.
    """
    lines = text.split("\n")
    if len(lines) != _LINES + 1 or lines[-1]:
        _refuse("", f"it has not {_LINES} lines, each with its end", "They are origin, size, root and heads.")
    words = lines[3].split(" ")
    if len(words) != len(("heads", "count", "root")) or words[0] != "heads":
        _refuse("line 4", "it is no heads line", "It is the word heads, a number and a root.")
    found = Checkpoint(
        origin=lines[0],
        size=_number(lines[1], "line 2"),
        root=_root(lines[2], "line 3"),
        heads_count=_number(words[1], "line 4"),
        heads_root=_root(words[2], "line 4"),
    )
    if found.to_text() != text:
        _refuse("", "it is not spelled as it must be", "Take it again from its source.")
    return found


def _refuse(where: str, problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)


def _number(text: str, where: str) -> int:
    if not _NUMBER.fullmatch(text):
        _refuse(where, "this is no number in its one spelling", "Decimal digits, without sign and leading zeroes.")
    return int(text)


def _root(text: str, where: str) -> bytes:
    try:
        return b64decode(text, validate=True)
    except ValueError:
        _refuse(where, "this is no root in base64", "Standard base64, with its padding.")
