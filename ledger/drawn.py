"""What lists and walls draw of a book: its measures, its grade's reach, its place on the wall, and where names lie sealed."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from ledger.book import Book, Status
from ledger.events.correction import NEW, Correction
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.history import Moment
from ledger.views import Drawn

__all__ = ["LEFT", "clean_copies", "drawn", "lies"]

LEFT: Final = frozenset({Status.SENT_BACK, Status.GONE, Status.DUPLICATE})
"""A book of which this is true is shown in the list only to who asks for it."""


def drawn(book: Book, moments: Sequence[Moment]) -> Drawn:
    """What is drawn of one book.

    Requires: the book is the fold of these moments.
    """
    by_number = {moment.entry.seq: moment for moment in moments}
    return Drawn(
        kept=book.status not in LEFT,
        **_grade(book, by_number),
        **_place(book, by_number),
        height_mm=_measured(moments, "height_mm"),
        width_mm=_measured(moments, "width_mm"),
        written_on=book.last_recorded.date().isoformat() if book.last_recorded else "",
    )


def clean_copies(moments: Sequence[Moment]) -> tuple[str, ...]:
    """SHA-256 of every clean copy that the entries name, those out of force among them, in order and each once."""
    return tuple(sorted({each.event.clean for each in moments if isinstance(each.event, Photograph)}))


def _grade(book: Book, by_number: dict[int, Moment]) -> dict[str, Any]:
    step = book.grade_in_force()
    if step is None or book.stated is None:
        return {}
    stated = book.stated
    moment = by_number[step.seq]
    name = "stated_by" if isinstance(moment.event, Purchase) else "service"
    seq, field = lies(by_number, moment, name)
    low = min((each.step for each in stated.steps), default=None)
    return {"grade_low": low, "opinion_of": stated.opinion_of.value, "stated_seq": seq, "stated_field": field}


def _place(book: Book, by_number: dict[int, Moment]) -> dict[str, Any]:
    moment = by_number.get(book.placed_by or 0)
    if moment is None or not isinstance(moment.event, Placement):
        return {}
    event = moment.event
    seq, field = lies(by_number, moment, "place")
    return {
        "place_seq": seq,
        "place_field": field,
        "placed_on": str(event.on) if event.on else None,
        "room": event.room,
        "wall": event.wall,
        "x_cm": event.x_cm,
        "y_cm": event.y_cm,
    }


def lies(by_number: Mapping[int, Moment], moment: Moment, name: str) -> tuple[int, str]:
    """Entry and name under which a sealed field lies now: its own, or those of the last correction that sealed it anew."""
    for number in reversed(moment.corrected_by):
        correction = by_number[number].event
        if isinstance(correction, Correction) and name in correction.changes:
            return number, NEW + name
    return moment.entry.seq, name


def _measured(moments: Sequence[Moment], name: str) -> str | None:
    """The measure of the last look that took it."""
    looks = (each.event for each in reversed(moments) if each.in_force and isinstance(each.event, Examination))
    return next((found for look in looks if (found := getattr(look, name)) is not None), None)
