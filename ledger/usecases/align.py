"""Lines up two photographs of one face of a book by themselves; nothing of it is stored, and both stay as they are."""

from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.alignment import Affine, Aligned, Aligner, NotAligned, Reason
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.events.photograph import WHOLE, Photograph
from ledger.history import Moment, history
from ledger.ports import Ledger, Reader

__all__ = ["Lined", "can_align", "line_up"]

WIDE = 1200
"""How wide a copy is looked at, as a page shows it. Units: px."""
NOT_KNOWN = 140.0
"""How tall a picture is taken to be when it is 100 wide and its size was never written down; both doors draw it so."""


@dataclass(frozen=True, kw_only=True)
class Lined:
    """What came of it; `over` takes the later picture onto the earlier one, each 100 wide, where that was found."""

    found: Aligned | NotAligned
    over: Affine | None


def can_align(ledger: Ledger) -> bool:
    """Whether what it takes is installed."""
    return ledger.aligner is not None and ledger.aligner.at_hand


def line_up(ledger: Ledger, actor: Actor, before: int, after: int) -> Lined:
    """How the photograph of one entry lies over that of another.

    Keeps: of a group picture only the part that shows the book is looked at.
    Raises: NotFoundError for an entry that is no photograph in force; InvalidError for two that make no pair;
    ConflictError where what it takes is not installed.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        pair = [_photograph(ledger, reader, seq) for seq in (before, after)]
    (earlier, of_book), (later, of_other) = pair
    if before == after or of_book != of_other or earlier.face is not later.face:
        sentence = "These are not two photographs of one face of a book. Name two entries that are."
        raise InvalidError(problems=(Problem(field="after", sentence=sentence),))
    if ledger.aligner is None or not ledger.aligner.at_hand:
        sentence = "What lines photographs up is not installed on this server."
        raise ConflictError(sentence=f"{sentence} Install the extra named align there, or set two points by hand.")
    found = _found(ledger, ledger.aligner, earlier, later)
    tall, tall_below = _tall(later), _tall(earlier)
    return Lined(found=found, over=found.over.in_pictures(tall, tall_below) if isinstance(found, Aligned) else None)


def _found(ledger: Ledger, aligner: Aligner, earlier: Photograph, later: Photograph) -> Aligned | NotAligned:
    try:
        below, above = (ledger.pictures.small(each.clean, WIDE, each.region) for each in (earlier, later))
    except NotFoundError:
        return NotAligned(Reason.UNREADABLE)
    return aligner.align(below, above)


def _photograph(ledger: Ledger, reader: Reader, seq: int) -> tuple[Photograph, str]:
    """The photograph of an entry as it counts now, and its book."""
    book = reader.entry(seq).book
    moments: list[Moment] = [] if book is None else history(reader.of_book(book), ledger.codec)
    for moment in moments:
        if moment.entry.seq == seq and moment.in_force and isinstance(moment.event, Photograph):
            return moment.event, book or ""
    raise NotFoundError(what="photograph", name=str(seq))


def _tall(event: Photograph) -> float:
    """How high what is shown is when it is 100 wide. Source: its own size, in its own part."""
    if not event.width_px or not event.height_px:
        return NOT_KNOWN
    wide, high = float(event.width_px), float(event.height_px)
    if event.region is not None:
        wide, high = wide * event.region.width_percent, high * event.region.height_percent
    return high / wide * WHOLE
