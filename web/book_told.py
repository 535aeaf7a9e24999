"""All that a book's page tells of the book above its proof, worked out in one go."""

from dataclasses import dataclass
from datetime import date

from ledger.dose import heat_of
from ledger.events._parts import Holding
from ledger.events.purchase import WITHOUT_PRICE, Purchase
from ledger.light_share import Light
from ledger.ports import Codec
from ledger.usecases.look import BookLook
from web.book_facts import Fact, Heading, facts_of, heading_of
from web.compared import comparable
from web.dose_words import heat_fact
from web.entry_rows import EntryRow, rows_of
from web.figure import Figure, figure_of
from web.lanes import CLOSE, WIDE, Drawing, drawings
from web.light_words import light_fact
from web.next_thing import Next, next_thing
from web.telling import Beside, Telling, tell

__all__ = ["BookTold", "told_of"]


@dataclass(frozen=True, kw_only=True)
class BookTold:
    """One book with what is known of it."""

    book: str
    heading: Heading
    figure: Figure
    telling: Telling
    facts: tuple[Fact, ...]
    next: Next | None
    drawings: tuple[tuple[str, Drawing], ...]
    """The lanes twice, for a wide page and for a closer one, each under the name of its class."""
    rows: tuple[EntryRow, ...]
    may_go_in: bool
    """It is here and in no holder, so that it can be worked on."""
    was_worked_on: bool
    comparable: bool
    """There are two photographs of one face."""


def told_of(seen: BookLook, codec: Codec, today: date, light: Light | None = None) -> BookTold:
    """The book as it is told on a day."""
    until = today if seen.book.held else None
    return BookTold(
        book=seen.row.book,
        heading=heading_of(seen),
        figure=figure_of(seen.book, seen.moments),
        telling=_telling(seen),
        facts=(*facts_of(seen), *_heat(seen), *_light(light)),
        next=next_thing(seen.book, seen.moments),
        drawings=tuple(zip(("wide", "close"), drawings(seen.moments, seen.states, until, (WIDE, CLOSE)), strict=True)),
        rows=rows_of(seen.moments, codec),
        may_go_in=seen.book.here and seen.book.holding is not Holding.SLABBED,
        was_worked_on=bool(seen.book.work),
        comparable=comparable(seen.moments),
    )


def _heat(seen: BookLook) -> tuple[Fact, ...]:
    """How much it was heated here, where it was."""
    fact = heat_fact(heat_of(seen.moments))
    return () if fact is None else (fact,)


def _light(light: Light | None) -> tuple[Fact, ...]:
    """How much light it had here; nothing where nobody counted it."""
    fact = None if light is None else light_fact(light)
    return () if fact is None else (fact,)


def _telling(seen: BookLook) -> Telling:
    """The statement in sentences."""
    owned = seen.book.ownerships[-1] if seen.book.ownerships else None
    said = [each.event for each in seen.moments if each.in_force and isinstance(each.event, Purchase)]
    beside = Beside(
        gone=owned is not None and owned.left_by is not None,
        left=owned.until if owned else None,
        sold=not said or said[-1].means not in WITHOUT_PRICE,
        words=(said[-1].earlier_work_words.value or "") if said else "",
    )
    return tell(seen.statement, beside)
