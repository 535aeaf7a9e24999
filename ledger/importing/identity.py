"""Which row is which: known again in a second file by its own number, else as the row of one file; and likely doubles."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from hashlib import sha256
from typing import Any, Final

from ledger.cost_rows import CostRow
from ledger.money import Money
from ledger.rows import Listing, folded
from ledger.rules.cost_lines import Part

__all__ = ["Double", "Doubles", "Why", "row_key", "short"]

_KEY: Final = 40
_SHORT: Final = 8


def row_key(source: str, file: str, number: int, own: str | None) -> str:
    """The idempotency key of a row: the number that its source gave it, or else the file's SHA-256 and the row's number.

    Keeps: equal rows of one file have different keys; the same row of the same file always has the same.
    """
    said = ("id", source.casefold(), own) if own is not None else ("row", file, str(number))
    return f"import.{sha256(chr(0).join(said).encode()).hexdigest()[:_KEY]}"


class Why(StrEnum):
    """Why a row is likely a book that is here already."""

    HOLDER = "holder number"
    ISSUE = "issue"
    PRICE = "price"
    DAY = "day"


@dataclass(frozen=True, kw_only=True)
class Double:
    """A row that is likely a book that is here already: the row's number, the book, and what speaks for it."""

    row: int
    book: str
    why: Why


@dataclass
class Doubles:
    """Holds rows against the books of a collection: the same issue, and of what the row says more the same.

    That is the holder number, the price or the day; a row that has none of them is likely any book of its issue.

    Keeps: of the collection only books of issues that the file has are held; equal rows of the file are not held against
    each other, for all of them are real.
    """

    issues: set[bytes]
    """Short digests of the issues that the file has."""
    _books: dict[bytes, list[tuple[str, frozenset[str]]]] = field(default_factory=dict)

    def take(self, listings: Iterable[Listing]) -> None:
        """The books that are here."""
        for each in listings:
            key = short(each.row.title, each.row.number)
            if key in self.issues:
                told = frozenset(_told(each.row.holder_number, each.row.since, _price(each.costs)))
                self._books.setdefault(key, []).append((each.row.book, told))

    def of(self, number: int, read: Mapping[str, Any]) -> Double | None:
        """The first book that the row likely is; None where nothing speaks for any."""
        own = {
            Why.HOLDER: _say(Why.HOLDER, read.get("holder_number")),
            Why.PRICE: _say(Why.PRICE, _counted(read.get("price"))),
            Why.DAY: _say(Why.DAY, read.get("on")),
        }
        is_bare = not any(own.values())
        for book, told in self._books.get(short(read.get("title"), read.get("number")), ()):
            if is_bare:
                return Double(row=number, book=book, why=Why.ISSUE)
            for why, said in own.items():
                if said in told:
                    return Double(row=number, book=book, why=why)
        return None


def short(title: object, number: object) -> bytes:
    """A short digest of an issue, whatever case and accents it is written with."""
    return sha256(f"{folded(str(title or ''))}\0{folded(str(number or ''))}".encode()).digest()[:_SHORT]


def _told(holder: str | None, since: str | None, price: str | None) -> Iterator[str]:
    for why, value in ((Why.HOLDER, holder), (Why.DAY, since), (Why.PRICE, price)):
        if value:
            yield _say(why, value)


def _say(why: Why, value: object) -> str:
    return f"{why} {value}" if value is not None else ""


def _counted(price: Money | None) -> str | None:
    return f"{price.minor} {price.currency}" if price is not None else None


def _price(costs: Iterable[CostRow]) -> str | None:
    found = next((each for each in costs if each.what == Part.PRICE and each.currency), None)
    return f"{found.minor} {found.currency}" if found is not None else None
