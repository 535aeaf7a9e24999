"""Has a catalogue printed while one does something else."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import BinaryIO, Final

from ledger.actor import Actor, Permission
from ledger.catalogues import Catalogue, Printed, Printing, Wish
from ledger.errors import ConflictError
from ledger.makings import Progress
from ledger.ports import Ledger
from ledger.saying.catalogue import catalogue_data, names_of
from ledger.saying.narrowed import narrowed
from ledger.usecases.catalogue import catalogue
from ledger.usecases.made import Made
from ledger.usecases.record import random_id

__all__ = ["CATALOGUES", "NOT_AT_HAND", "begin_catalogue", "can_be_printed", "catalogue_pdf"]

CATALOGUES: Final = Made[Printing, Printed](
    sort="catalogue", needed=Permission.READ, of=lambda ledger: ledger.catalogues
)
"""Those that lie here."""
NOT_AT_HAND: Final = (
    "What makes a PDF is not installed here. Install the program with its extra report, or print the list of the "
    "collection."
)
_SOURCE: Final = Path(__file__).parent / "sheets" / "catalogue.typ"


def can_be_printed(ledger: Ledger) -> bool:
    """What makes a PDF is at hand."""
    return ledger.sheets is not None and ledger.sheets.at_hand


def begin_catalogue(ledger: Ledger, actor: Actor, wish: Wish) -> Printing:
    """The catalogue that is made from now on.

    Raises: ConflictError where no PDF can be made here, no book is found, or another one is under way; InvalidError for
    a search that there is not; ForbiddenError.
    """
    actor.require(CATALOGUES.needed)
    if not can_be_printed(ledger):
        raise ConflictError(sentence=NOT_AT_HAND)
    with ledger.log.read() as reader:
        found = reader.shelf(replace(wish.query, sort="title", descending=False, after=None, limit=1)).rows
    if not found:
        raise ConflictError(sentence="No book is found by this choice, so there is nothing to print. Choose others.")
    printing = Printing(
        id=random_id(ledger.chance), begun=ledger.clock.now(), chosen=narrowed(wish.query), places=wish.places
    )

    def work(file: BinaryIO, progress: Progress) -> Printed:
        of = catalogue(ledger, actor, wish.query, progress)
        size = file.write(catalogue_pdf(ledger, of, chosen=printing.chosen, places=printing.places))
        return Printed(size=size, books=len(of.rows), entries=of.size)

    CATALOGUES.begin(ledger, printing, work)
    return printing


def catalogue_pdf(ledger: Ledger, of: Catalogue, *, chosen: Sequence[str], places: bool) -> bytes:
    """The sheet of a catalogue, with what was chosen in words, and where each book is if that is wished.

    Keeps: the same catalogue gives the same bytes.
    Raises: ConflictError where no PDF can be made here.
    """
    if ledger.sheets is None:
        raise ConflictError(sentence=NOT_AT_HAND)
    files = names_of(of)
    data = catalogue_data(of, chosen=chosen, places=places)
    return ledger.sheets.pdf(_source(), data, {files[each]: cover for each, cover in of.covers.items()}, of.recorded)


@cache
def _source() -> str:
    return _SOURCE.read_text("utf-8")
