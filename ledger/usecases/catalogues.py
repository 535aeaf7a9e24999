"""Has a catalogue printed while one does something else: begun, looked at, fetched, called off or taken away."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import BinaryIO, Final

from ledger.actor import Actor, Permission
from ledger.catalogues import Catalogue, Catalogues, Printed, Printing, Wish
from ledger.errors import ConflictError, NotFoundError
from ledger.makings import Progress
from ledger.ports import Ledger
from ledger.saying.catalogue import catalogue_data, names_of
from ledger.saying.narrowed import narrowed
from ledger.usecases.catalogue import catalogue
from ledger.usecases.record import random_id

__all__ = [
    "NOT_AT_HAND",
    "begin_catalogue",
    "can_be_printed",
    "catalogue_named",
    "catalogue_pdf",
    "catalogue_pieces",
    "catalogues_of",
    "sweep_catalogues",
    "take_catalogue_away",
]

NEEDED: Final = Permission.READ
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
    actor.require(NEEDED)
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

    if not _catalogues(ledger).begin(printing, work):
        raise ConflictError(sentence="Another catalogue is being made. Wait until it is done.")
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


def catalogues_of(ledger: Ledger, actor: Actor) -> list[Printing]:
    """Those that are there, the newest first."""
    actor.require(NEEDED)
    return [] if ledger.catalogues is None else ledger.catalogues.all()


def catalogue_named(ledger: Ledger, actor: Actor, own: str) -> Printing:
    """How far one is.

    Raises: NotFoundError, ForbiddenError.
    """
    actor.require(NEEDED)
    if ledger.catalogues is None:
        raise NotFoundError(what="catalogue", name=own)
    return ledger.catalogues.named(own)


def catalogue_pieces(ledger: Ledger, actor: Actor, own: str) -> Iterator[bytes]:
    """The file of one that is ready, a piece at a time.

    Raises: NotFoundError, ForbiddenError.
    """
    return _catalogues(ledger).pieces(catalogue_named(ledger, actor, own).id)


def take_catalogue_away(ledger: Ledger, actor: Actor, own: str) -> None:
    """It lies here no longer; one that is under way is called off.

    Raises: NotFoundError, ForbiddenError.
    """
    _catalogues(ledger).take_away(catalogue_named(ledger, actor, own).id)


def sweep_catalogues(ledger: Ledger) -> None:
    """Those that lay here long enough are gone."""
    if ledger.catalogues is not None:
        ledger.catalogues.sweep()


def _catalogues(ledger: Ledger) -> Catalogues:
    if ledger.catalogues is None:
        raise ConflictError(sentence="No catalogue can be made here: this ledger is open for reading only.")
    return ledger.catalogues


@cache
def _source() -> str:
    return _SOURCE.read_text("utf-8")
