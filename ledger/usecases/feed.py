"""The calendar of the bench at a secret address: made, renewed and ended by the owner, read by whoever has it."""

import hmac
from typing import Final

from ledger.actor import Actor, Permission
from ledger.bench import Feed
from ledger.errors import ConflictError, NotFoundError
from ledger.events.intervention import Intervention
from ledger.feed import RestDue, due_care, due_loads, due_rests, due_swaps
from ledger.history import Moment, history
from ledger.looks import look_due
from ledger.ports import Ledger
from ledger.usecases.care import all_planned, dues_in
from ledger.usecases.doorbook import Came, note
from ledger.usecases.rotation_swap import accepted_plan
from ledger.usecases.secret import hash_of, new_secret
from ledger.views import ShelfQuery

__all__ = ["calendar_at", "calendar_of", "end_feed", "feed_of", "make_feed"]

_BOOKS_MOST: Final = 200
NAME: Final = "Bench"


def feed_of(ledger: Ledger, actor: Actor) -> Feed | None:
    """The address that is in force, without its secret."""
    actor.require(Permission.READ)
    return _feed(ledger)


def make_feed(ledger: Ledger, actor: Actor, *, titles: bool) -> str:
    """The secret of a new address, told this once; the one before is no more."""
    actor.require(Permission.TOKENS)
    if ledger.bench is None:
        raise ConflictError(sentence="This ledger is open for reading only, and has no calendar.")
    secret = new_secret(ledger.chance)
    feed = Feed(hashed=hash_of(secret).hex(), titles=titles, made=ledger.clock.now())
    ledger.bench.write(lambda writer: writer.put_feed(feed))
    note(Came.CALENDAR_MADE, who=actor.id)
    return secret


def end_feed(ledger: Ledger, actor: Actor) -> None:
    """No address is in force from now on."""
    actor.require(Permission.TOKENS)
    if ledger.bench is not None:
        ledger.bench.write(lambda writer: writer.take_feed())
    note(Came.CALENDAR_ENDED, who=actor.id)


def calendar_at(ledger: Ledger, secret: str) -> bytes:
    """The calendar at that address, for anybody who has it.

    Raises: NotFoundError, whatever is wrong with the address.
    """
    feed = _feed(ledger)
    # Compared even where there is nothing to compare with, so that both take as long.
    if not hmac.compare_digest(hash_of(secret).hex(), feed.hashed if feed else "0" * 64) or feed is None:
        raise NotFoundError(what="calendar", name="of that address")
    return _written(ledger, titles=feed.titles)


def calendar_of(ledger: Ledger, actor: Actor) -> bytes:
    """The same calendar for somebody who may read the collection; without titles where no address is in force.

    Raises: ConflictError where none can be written.
    """
    actor.require(Permission.READ)
    feed = _feed(ledger)
    return _written(ledger, titles=feed is not None and feed.titles)


def _written(ledger: Ledger, *, titles: bool) -> bytes:
    if ledger.calendars is None:
        raise ConflictError(sentence="No calendar can be written here.")
    loads = []
    if ledger.bench is not None:
        with ledger.bench.read() as bench:
            loads = bench.loads()
    ahead, plan = all_planned(ledger), accepted_plan(ledger)
    with ledger.log.read() as reader:
        rows = reader.shelf(ShelfQuery(on_bench=True, limit=_BOOKS_MOST)).rows
        named = {each.book: f"{each.title} {each.number}".strip() for each in rows}
        care = dues_in(ledger, reader, ahead, plan)
        named |= {each.row.book: f"{each.row.title} {each.row.number}".strip() for each in care.dues}
        hung = {book for row in plan.rows for book in row} if plan else set()
        for book in ({book for load in loads for book in load.books} | hung) - named.keys():
            row = reader.book(book)
            named[book] = f"{row.title} {row.number}".strip()
        rests = [due for each in rows if (due := _rest(each.book, history(reader.of_book(each.book), ledger.codec)))]
    names = named if titles else None
    dues = [*due_loads(loads, names), *due_rests(rests, names), *due_swaps(plan, names)]
    return ledger.calendars.written([*dues, *due_care((each.due for each in care.dues), names)], NAME)


def _rest(book: str, moments: list[Moment]) -> RestDue | None:
    """When the book is to be looked at again; None where nothing asks for that, or no day is known."""
    on = look_due(moments)
    if on is None:
        return None
    work = [each for each in moments if each.in_force and isinstance(each.event, Intervention)]
    return RestDue(book=book, on=on, since=max(each.entry.recorded for each in work))


def _feed(ledger: Ledger) -> Feed | None:
    if ledger.bench is None:
        return None
    with ledger.bench.read() as bench:
        return bench.feed()
