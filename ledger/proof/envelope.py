"""The envelope of an entry: what every line of the ledger says about itself, whatever it tells."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any, Final, NoReturn

from ledger.proof.canonical import GREATEST, Plain, decode, encode
from ledger.proof.nodes import leaf_hash
from ledger.proof.report import MalformedError
from ledger.proof.sealing import is_digest

__all__ = ["COLLECTION_ID", "FMT", "Envelope", "UnknownFormatError", "head_leaf", "moment_text"]

FMT: Final = "slipsheet/1"
"""The format of an entry; it fixes the hash, the byte form and the tree."""

COLLECTION_ID: Final = re.compile(r"[a-z2-7]{26}")
_ID: Final = re.compile(r"[!-~]{1,64}")
_DATE: Final = re.compile(r"[!-~]{1,100}")
_KIND: Final = re.compile(r"[a-z][a-z0-9_-]{0,39}")
_HEX: Final = re.compile(r"[0-9a-f]{64}")
_RECORDED: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z", re.ASCII)
_BOOK_FIELDS: Final = ("book", "book_no", "book_seq", "book_prev")
_WHAT: Final = "The entry"


@dataclass(eq=False, kw_only=True)
class UnknownFormatError(MalformedError):
    """An entry in a format that this program does not read; a lower one is refused as well as a higher one."""

    found: str


@dataclass(frozen=True)
class Envelope:
    """One line of the ledger as it is hashed.

    `seq` is its number in the collection, `book_no` its book's number in the collection, `book_seq` its number
    within the book, `book_prev` the leaf hash of the book's entry before it. `act` joins entries written together.
    `on` is when it happened, `recorded` when it was written down. `sealed` gives a digest for every sealed name.

    Requires: the ranges of FORMAT.md; the four book fields are all there or all None.
    Raises: MalformedError.
    """

    fmt: str
    collection: str
    seq: int
    book: str | None
    book_no: int | None
    book_seq: int | None
    book_prev: str | None
    act: str
    kind: str
    v: int
    on: str | None
    recorded: str
    actor: str
    body: dict[str, Plain]
    sealed: dict[str, str]

    def __post_init__(self) -> None:
        _need_known_format(self.fmt)
        _need_match("collection", self.collection, COLLECTION_ID, "26 letters a to z and digits 2 to 7")
        _need_number("seq", self.seq)
        _need_book(self)
        for name in ("act", "actor"):
            _need_match(name, getattr(self, name), _ID, "1 to 64 visible ASCII characters")
        _need_match("kind", self.kind, _KIND, "a short name in small letters")
        _need_number("v", self.v)
        if self.on is not None:
            _need_match("on", self.on, _DATE, "a date in EDTF, or null")
        _need_moment(self.recorded)
        _need_fields(self)

    def to_bytes(self) -> bytes:
        """The bytes that are stored and hashed.

        Raises: MalformedError where the body holds something that has no byte form.
        """
        return encode(vars(self), what=_WHAT)

    @classmethod
    def from_bytes(cls, data: bytes) -> "Envelope":
        """The envelope that stored bytes say; nothing is read into bytes that could be spelled otherwise.

        Raises: MalformedError, UnknownFormatError.
        """
        said = decode(data, what=_WHAT)
        if not isinstance(said, dict):
            _refuse("", "it is no object with names", "An entry is one JSON object.")
        # First of all: another format may have other names, and saying which it is helps more than listing them.
        _need_known_format(said.get("fmt"))
        expected = {each.name for each in fields(cls)}
        if missing := expected - said.keys():
            _refuse(min(missing), "this name is missing", "Every name of the envelope is there, if only as null.")
        if extra := said.keys() - expected:
            _refuse(min(extra), "this name does not belong here", "What an entry tells stands in its body.")
        values: Mapping[str, Any] = said
        return cls(**values)

    @property
    def leaf(self) -> bytes:
        """The hash by which the entry stands in the tree, worked out anew each time."""
        return leaf_hash(self.to_bytes())


def moment_text(moment: datetime) -> str:
    """A moment as entries write it, and everything beside them: UTC, six digits after the point.

    Source: RFC 3339 section 5.6.
    """
    return f"{moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='microseconds')}Z"


def head_leaf(book: str, book_no: int, book_seq: int, leaf_hex: str) -> bytes:
    """The bytes that stand for a book in the heads' tree, at place `book_no - 1`: its last entry and how many it has.

    Raises: MalformedError.
    """
    what = "The head of a book"
    _need_match("book", book, _ID, "1 to 64 visible ASCII characters", what)
    _need_number("book_no", book_no, what)
    _need_number("book_seq", book_seq, what)
    _need_match("leaf", leaf_hex, _HEX, "64 hexadecimal digits in small letters", what)
    return encode({"book": book, "book_no": book_no, "book_seq": book_seq, "leaf": leaf_hex}, what=what)


def _refuse(where: str, problem: str, mend: str, what: str = _WHAT) -> NoReturn:
    raise MalformedError(what=what, where=where, problem=problem, mend=mend)


def _need_known_format(found: object) -> None:
    if found != FMT:
        raise UnknownFormatError(
            what=_WHAT,
            where="fmt",
            problem=f"this program reads {FMT} and not {ascii(found)[:42]}",
            mend="Read it with the program that wrote it; an entry that claims another format than its own is forged.",
            found=str(found)[:42],
        )


def _need_match(where: str, value: object, form: re.Pattern[str], mend: str, what: str = _WHAT) -> None:
    if not isinstance(value, str) or not form.fullmatch(value):
        _refuse(where, "it has not the form it must have", f"It is {mend}.", what)


def _need_number(where: str, value: object, what: str = _WHAT) -> None:
    # A truth value counts as a number in this language and in no other.
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= GREATEST:
        _refuse(where, "it is no number from 1 upwards", f"It is a whole number from 1 to {GREATEST}.", what)


def _need_book(entry: Envelope) -> None:
    absent = [name for name in _BOOK_FIELDS[:3] if getattr(entry, name) is None]
    if len(absent) == len(_BOOK_FIELDS) - 1 and entry.book_prev is None:
        return
    if absent:
        _refuse(absent[0], "it is missing beside the others of its book", "All four book fields are there, or none.")
    _need_match("book", entry.book, _ID, "1 to 64 visible ASCII characters")
    _need_number("book_no", entry.book_no)
    _need_number("book_seq", entry.book_seq)
    if entry.book_seq == 1:
        if entry.book_prev is not None:
            _refuse("book_prev", "the first entry of a book follows none", "It is null there.")
        return
    _need_match("book_prev", entry.book_prev, _HEX, "the leaf hash of the book's entry before, in small hexadecimal")


def _need_moment(value: object) -> None:
    mend = "a moment in UTC with six digits after the point, such as 2026-01-02T03:04:05.000006Z"
    _need_match("recorded", value, _RECORDED, mend)
    try:
        datetime.fromisoformat(str(value))
    except ValueError:
        _refuse("recorded", "there is no such moment", f"It is {mend}.")


def _need_fields(entry: Envelope) -> None:
    if not isinstance(entry.body, dict):
        _refuse("body", "it is no object with names", "It is an object, if only an empty one.")
    if not isinstance(entry.sealed, dict):
        _refuse("sealed", "it is no object with names", "It is an object, if only an empty one.")
    for name, digest in entry.sealed.items():
        _need_match("sealed", name, _ID, "1 to 64 visible ASCII characters for each name")
        if not is_digest(digest):
            _refuse(f"sealed.{name}", "it is no digest", "It is SHA-256 in base64url without padding: 43 characters.")
