"""What a disclosure record says of one book, in words: the sheet whose digest stands in the ledger."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from ledger.ageing_of_book import Ageing
from ledger.book import Book
from ledger.history import Moment
from ledger.light_share import Light
from ledger.proof.sheet import Sheet
from ledger.proof.sheet_file import sheet_from
from ledger.saying.care import care
from ledger.saying.condition import condition
from ledger.saying.grades import grades
from ledger.saying.identity import identity, title_of
from ledger.saying.papers import earlier, entries, opened
from ledger.saying.pictures import marks, photographs
from ledger.saying.proven import proven
from ledger.saying.spelling import clean
from ledger.saying.steps import views
from ledger.saying.told import EarlierSaid, told
from ledger.saying.work import lead, statement_section

__all__ = ["EarlierSaid", "Telling", "disclosed_sheet"]


@dataclass(frozen=True, kw_only=True)
class Telling:
    """Everything that the words of a record are made from.

    `moments` are all of the book, in the order of happening, without the entry by which the record is made. `opened`
    names the sealed values that are shown, by the entry under which each lies: one that a correction sealed anew lies
    under the correction, with `new.` before its name. `pictures` has the digest of the clean copy that goes with the
    record, by the number of the photograph's entry. `made` is the day on which it is issued, `light` what is known of
    its light until then, `ageing` what climate logs say of the air it was in; None where nobody counted it.
    """

    collection: str
    book: Book
    moments: Sequence[Moment]
    opened: frozenset[tuple[int, str]] = frozenset()
    pictures: Mapping[int, str] = field(default_factory=dict)
    earlier: Sequence[EarlierSaid] = ()
    stamped: bool = False
    light: Light | None = None
    ageing: Ageing | None = None
    made: date


def disclosed_sheet(telling: Telling) -> Sheet:
    """The words of a record.

    Keeps: the same telling gives the same bytes. No sealed value is in them that was not opened. They never say that
    nothing was ever done to the book, not even where somebody's own words that they quote do.
    Requires: the book is the fold of the moments.
    """
    of = told(**vars(telling))
    parts = (
        identity(of),
        statement_section(of),
        earlier(of),
        grades(of),
        *condition(of),
        marks(of),
        photographs(of),
        care(of),
        views(of),
        entries(of),
        opened(of),
        proven(of),
    )
    sheet = Sheet(title=title_of(of), lead=lead(of), sections=tuple(each for each in parts if each is not None))
    # Read back as strictly as any reader will read it.
    return sheet_from(clean(sheet.to_plain()))
