"""What the market told: sales of an issue, books looked at and not bought, rates of exchange.

It lies beside the ledger: these are facts about the world, and no part of a book's account until an entry names them.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Protocol, TypeVar

from ledger.events._parts import Defect, Holding, Issue, StatedGrade
from ledger.events.outlook import Weight
from ledger.money import Money
from ledger.proof.canonical import encode
from ledger.rules.grades import Grade
from ledger.when import When

__all__ = [
    "Came",
    "KeptSale",
    "MarketReader",
    "MarketStore",
    "MarketWriter",
    "Prospect",
    "ProspectSaid",
    "Rate",
    "Verdict",
    "issue_key",
    "rate_id",
]

T = TypeVar("T")


class Came(StrEnum):
    """How a comparable was written down."""

    BY_HAND = "by hand"
    PASTED = "pasted"
    FILE = "file"


@dataclass(frozen=True, kw_only=True)
class KeptSale:
    """A comparable: one sale of an issue, as somebody told of it.

    `holding` and `tone` are what was told of the copy that was sold; a raw one has the grade its seller gave.
    """

    id: str
    issue: Issue
    on: When | None = None
    grade: Grade | None = None
    price: Money
    where: str = ""
    holding: Holding = Holding.NOT_STATED
    tone: str = ""
    came: Came = Came.BY_HAND
    left_out: str = ""
    """Why it does not count; empty when it does."""
    made: datetime


class Verdict(StrEnum):
    """What became of a prospect."""

    OPEN = "open"
    BOUGHT = "bought"
    PASSED_UP = "passed up"


@dataclass(frozen=True, kw_only=True)
class ProspectSaid:
    """What a listing says and shows of a book, as its finder writes it down."""

    issue: Issue
    asking: Money | None = None
    holding: Holding = Holding.NOT_STATED
    stated: StatedGrade | None = None
    seller: str = ""
    venue: str = ""
    listing: str = ""
    """The words of the listing, or where it stands."""
    defects: tuple[Defect, ...] = ()
    """As far as seen on its pictures."""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Prospect(ProspectSaid):
    """A book looked at but not bought: what its listing says and shows, and what the collector made of it."""

    id: str
    pictures: tuple[str, ...] = ()
    """SHA-256 of clean copies, in lower-case hexadecimal."""
    weights: tuple[Weight, ...] = ()
    """The collector's own outlook; empty for none yet."""
    weighed: datetime | None = None
    """When the outlook was stated."""
    verdict: Verdict = Verdict.OPEN
    decided: datetime | None = None
    why: str = ""
    book: str | None = None
    """The book it became."""
    made: datetime


@dataclass(frozen=True, kw_only=True)
class Rate:
    """What one unit of a currency was worth in another on a day, and who said so.

    Units: `rate` is units of `into` for one unit of `of`.
    """

    of: str
    into: str
    on: When
    rate: Decimal
    source: str
    made: datetime

    @property
    def id(self) -> str:
        """Its name: a day has one rate of a pair."""
        return rate_id(self.of, self.into, self.on)


def rate_id(of: str, into: str, on: When) -> str:
    """The name under which a rate is kept."""
    return f"{of}/{into}/{on}"


def issue_key(issue: Issue) -> str:
    """One text for one issue: title, start year, number, printing and variant, whatever case and spaces they have.

    A cover date or publisher tells no two issues of one series and number apart; one that was left out is another issue.
    """
    texts = (issue.title, issue.number, issue.variant or "")
    title, number, variant = (" ".join(each.casefold().split()) for each in texts)
    return encode([title, issue.start_year, number, issue.printing or 1, variant]).decode()


class MarketReader(Protocol):
    """What is kept at this moment; a row that was harmed is left out."""

    def sales(self, issue: str | None = None) -> list[KeptSale]:
        """Of one issue by its key, or all; in the order they were kept."""
        ...

    def sale(self, sale: str) -> KeptSale | None: ...
    def prospects(self) -> list[Prospect]: ...
    def prospect(self, prospect: str) -> Prospect | None: ...
    def rates(self) -> list[Rate]: ...


class MarketWriter(MarketReader, Protocol):
    """All of it is kept or none."""

    def put_sale(self, sale: KeptSale) -> None: ...
    def take_sale(self, sale: str) -> None: ...
    def put_prospect(self, prospect: Prospect) -> None: ...
    def take_prospect(self, prospect: str) -> None: ...
    def put_rate(self, rate: Rate) -> None: ...
    def take_rate(self, rate: str) -> None: ...


class MarketStore(Protocol):
    """Where it is kept."""

    def read(self) -> AbstractContextManager[MarketReader]: ...
    def write(self, work: Callable[[MarketWriter], T]) -> T: ...
