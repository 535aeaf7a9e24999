"""The ledger: what happened to each book of a collection, in a form that a stranger can check.

`ledger.bootstrap.open_ledger` opens one; `ledger.usecases` holds what can be done with it.
"""

from ledger.book import Book
from ledger.errors import LedgerError
from ledger.events import KINDS, Event
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["KINDS", "Book", "Event", "Grade", "Ledger", "LedgerError", "Money", "Sealed", "When"]
