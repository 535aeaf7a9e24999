"""Somebody who looks, works and sends books, and asks how far they will get."""

from typing import Any

from ledger.events._parts import Answer
from ledger.events.ruling import NewValue, Ruling
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.rules._tables import table
from ledger.sealed import Sealed
from ledger.usecases.outlook import OutlookView, outlook_of
from tests.builders import a_defect, a_stated_grade, an_examination, an_intervention, on, worked_on
from tests.usecases.telling import OWNER, Teller

__all__ = ["BEND", "CREASE", "eases", "graded", "looked", "rules", "sends", "view"]

CREASE = a_defect("d1", "crease", size_mm="10", breaks_colour=Answer.YES)
BEND = a_defect("d2", size_mm="30")


def view(teller: Teller, book: str, **more: Any) -> OutlookView:
    """The outlook as the owner reads it."""
    return outlook_of(teller.ledger, OWNER, book, **more)


def looked(teller: Teller, *defects: Any, **more: Any) -> str:
    """A book that was looked at."""
    book = teller.buy()
    teller.add(book, an_examination("2024-02-05", defects=defects, **more))
    return book


def graded(teller: Teller, grade: str, service: str = "Third Bench", *defects: Any) -> str:
    """A book that was sent with a crease of ten millimetres, which allows 8.0, and came back with that grade."""
    book = looked(teller, *(defects or (CREASE,)))
    sends(teller, book, service)
    stated = a_stated_grade(grade, grade)
    teller.add(book, Slab(on=on("2024-08-01"), batch="spring", stated=stated))
    return book


def sends(teller: Teller, book: str, service: str | None) -> int:
    """The entry by which a book is sent for a grade."""
    event = Submission(on=on("2024-06-01"), batch="spring", asks=Ask.GRADE, service=Sealed.of(service))
    return teller.add(book, event).seq


def eases(teller: Teller) -> None:
    """A book whose bend of thirty millimetres went in one round of work."""
    book = looked(teller, BEND)
    teller.add(book, an_intervention("cold-press", "2024-03-01", worked_defects=worked_on("d2")))
    after = a_defect("d2", gone=True, size_mm=None)
    teller.add(book, an_examination("2024-03-20", defects=(after,), rest_hours=168))


def rules(teller: Teller, name: str, row: str, **values: str) -> int:
    """The entry of a ruling on one row."""
    new = tuple(NewValue(field=field, value=value) for field, value in values.items())
    return teller.add(None, Ruling(table=name, row=row, version=table(name).version, values=new)).seq
