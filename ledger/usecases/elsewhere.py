"""What an entry meets in the rest of the collection: the other copy it names, another book in its holder."""

from collections.abc import Callable, Iterable, Sequence

from ledger.book import Status
from ledger.entry import Entry
from ledger.errors import NotFoundError, Problem
from ledger.events import Event
from ledger.events.correction import Correction
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold, history
from ledger.ports import Codec, Writer

__all__ = ["other_copy_problems", "same_holder_warnings"]


def other_copy_problems(event: Event, chain_of: Callable[[str], Sequence[Entry]], codec: Codec) -> list[Problem]:
    """Rule 6 of a withdrawal: the book it names is there and still counts, so that one of two copies is left."""
    if not isinstance(event, Withdrawal) or event.same_as is None:
        return []
    try:
        chain = chain_of(event.same_as)
    except NotFoundError:
        return [event.rule(6, f"There is no book {event.same_as}. Name the other copy by its id.", "same_as")]
    other = fold(event.same_as, chain[0].book_no or 0, history(chain, codec))
    if other.status is not Status.DUPLICATE:
        return []
    sentence = f"Book {other.id} was itself withdrawn, as the same copy as {other.same_as}. Name the one that is left."
    return [event.rule(6, sentence, "same_as")]


def same_holder_warnings(event: Event, book: str | None, written: Iterable[Entry], writer: Writer) -> list[str]:
    """That the holder number it gives stands on another book too; `written` is what the same act has written so far."""
    number = _holder_number(event)
    if number is None:
        return []
    here = [entry.book for entry in written if _holder_number(entry.event) == number]
    others = dict.fromkeys(each for each in [*writer.books_in_holder(number), *here] if each and each != book)
    return [f"Holder number {number} stands on another book too: {', '.join(others)}."] if others else []


def _holder_number(event: Event) -> str | None:
    """The holder number an event gives, or changes."""
    said = event.changes if isinstance(event, Correction) else vars(event)
    return said.get("holder_number")
