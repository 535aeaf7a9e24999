"""Prospects: a book looked at is kept, weighed, passed up or bought; bought, its outlook stands in the ledger first."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem, RuleError
from ledger.events.outlook import Weight
from ledger.events.purchase import Purchase
from ledger.market import KeptSale, MarketWriter, Prospect, Verdict, issue_key
from ledger.ports import Ledger
from ledger.prospects import (
    PICTURES_MOST,
    PROSPECTS_MOST,
    WORDS_MOST,
    ProspectSaid,
    changed,
    flaws_of_prospect,
    flaws_of_weights,
    outlook_of,
)
from ledger.usecases.prospect_writes import (
    clean_of,
    market_of,
    moved,
    need,
    refuse,
    still_open,
    too_many_pictures,
)
from ledger.usecases.record import Draft, Recorded, Request, random_id, record

__all__ = [
    "ProspectLook",
    "buy",
    "change_prospect",
    "keep_prospect",
    "look_at_prospect",
    "look_at_prospects",
    "pass_up",
    "state_outlook",
    "take_away",
    "take_back",
]

_WHAT: Final = "prospect"


@dataclass(frozen=True, kw_only=True)
class ProspectLook:
    """A prospect, and the sales of its issue that are kept, the newest first as far as their days are known."""

    prospect: Prospect
    sales: tuple[KeptSale, ...]


def look_at_prospects(ledger: Ledger, actor: Actor) -> tuple[Prospect, ...]:
    """All of them, the newest first."""
    actor.require(Permission.READ)
    with market_of(ledger).read() as reader:
        return tuple(reversed(reader.prospects()))


def look_at_prospect(ledger: Ledger, actor: Actor, prospect: str) -> ProspectLook:
    """One of them, with the sales of its issue that count.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with market_of(ledger).read() as reader:
        found = need(reader, prospect)
        sales = [each for each in reader.sales(issue_key(found.issue)) if not each.left_out]
    newest = sorted(sales, key=lambda each: (each.on is not None, str(each.on)), reverse=True)
    return ProspectLook(prospect=found, sales=tuple(newest))


def keep_prospect(
    ledger: Ledger, actor: Actor, said: ProspectSaid, pictures: Sequence[bytes] = (), *, named: Sequence[str] = ()
) -> Prospect:
    """A new prospect; pictures are kept byte for byte, as photographs are, and shown as clean copies.

    `named` are digests of pictures that are kept already.
    Raises: InvalidError, ConflictError; MalformedError for a file that is no picture.
    """
    actor.require(Permission.RECORD)
    refuse(list(flaws_of_prospect(said)))
    if len(pictures) + len(named) > PICTURES_MOST:
        raise InvalidError(problems=(too_many_pictures(),))
    kept = tuple(dict.fromkeys([ledger.pictures.keep(data).clean for data in pictures] + clean_of(ledger, named)))
    made = Prospect(id=random_id(ledger.chance), issue=said.issue, pictures=kept, made=ledger.clock.now())
    made = changed(made, said)

    def work(writer: MarketWriter) -> Prospect:
        if len(writer.prospects()) >= PROSPECTS_MOST:
            raise ConflictError(sentence=f"There are {PROSPECTS_MOST} prospects. Take one away first.")
        writer.put_prospect(made)
        return made

    return market_of(ledger).write(work)


def change_prospect(
    ledger: Ledger, actor: Actor, prospect: str, said: ProspectSaid, *, named: Sequence[str] | None = None
) -> Prospect:
    """It says this from now on. What was bought or passed up stays as it was judged.

    `named` are the digests of all its pictures; left out, they stay.
    Raises: NotFoundError, InvalidError, ConflictError.
    """
    actor.require(Permission.RECORD)
    refuse(list(flaws_of_prospect(said)))
    if len(named or ()) > PICTURES_MOST:
        raise InvalidError(problems=(too_many_pictures(),))
    shown = None if named is None else tuple(dict.fromkeys(clean_of(ledger, named)))

    def so(found: Prospect) -> Prospect:
        after = changed(still_open(found), said)
        return after if shown is None else replace(after, pictures=shown)

    return moved(ledger, actor, prospect, so)


def state_outlook(ledger: Ledger, actor: Actor, prospect: str, weights: Sequence[Weight]) -> Prospect:
    """The collector's own outlook on it, as of now; one stated before gives way.

    Raises: NotFoundError, InvalidError, ConflictError.
    """
    refuse(flaws_of_weights(weights))
    kept = tuple(sorted(weights, key=lambda each: each.grade))
    now = ledger.clock.now()
    return moved(ledger, actor, prospect, lambda found: replace(still_open(found), weights=kept, weighed=now))


def pass_up(ledger: Ledger, actor: Actor, prospect: str, why: str) -> Prospect:
    """It was not bought; it stays as a record of judgement.

    Raises: NotFoundError, InvalidError, ConflictError.
    """
    if len(why) > WORDS_MOST:
        raise InvalidError(problems=(Problem(field="why", sentence=f"Shorten it to {WORDS_MOST:,} signs."),))
    now = ledger.clock.now()
    return moved(
        ledger,
        actor,
        prospect,
        lambda found: replace(still_open(found), verdict=Verdict.PASSED_UP, decided=now, why=why.strip()),
    )


def take_back(ledger: Ledger, actor: Actor, prospect: str) -> Prospect:
    """It is open again after it was passed up; why it was stays with it.

    Raises: NotFoundError, ConflictError.
    """

    def again(found: Prospect) -> Prospect:
        if found.verdict is Verdict.BOUGHT:
            raise ConflictError(sentence="This book was bought. What came of it stands on its own page.")
        return replace(found, verdict=Verdict.OPEN, decided=None)

    return moved(ledger, actor, prospect, again)


def buy(ledger: Ledger, actor: Actor, prospect: str, purchase: Purchase, request: Request | None = None) -> Recorded:
    """The book it became, in one act: the outlook that was stated first, then the purchase; the prospect names the book.

    Keeps: its book's id is settled before anything is written, so that what was cut off is taken up and never doubled.
    Raises: what `record` raises; NotFoundError; ConflictError where it was passed up, or bought before.
    """
    actor.require_to_write(Purchase.kind)

    def settled(found: Prospect) -> Prospect:
        if found.verdict is Verdict.PASSED_UP:
            raise ConflictError(sentence="This one was passed up. Take that back first.")
        return found if found.book is not None else replace(found, book=random_id(ledger.chance))

    found = moved(ledger, actor, prospect, settled)
    recorded = _recorded(ledger, actor, found, purchase, request)
    now = ledger.clock.now()
    moved(ledger, actor, prospect, lambda each: _bought(each, now))
    return recorded


def take_away(ledger: Ledger, actor: Actor, prospect: str) -> None:
    """It is no longer kept; one that was bought stays with its book.

    Raises: NotFoundError, ConflictError.
    """
    actor.require(Permission.RECORD)

    def work(writer: MarketWriter) -> None:
        found = need(writer, prospect)
        if found.verdict is Verdict.BOUGHT:
            raise ConflictError(sentence="This book was bought, and what was held of it before stays with it.")
        writer.take_prospect(found.id)

    market_of(ledger).write(work)


def _recorded(ledger: Ledger, actor: Actor, found: Prospect, purchase: Purchase, request: Request | None) -> Recorded:
    outlook = outlook_of(found)
    drafts = [Draft(event=purchase, new_book=True, id=found.book)]
    if outlook is not None:
        drafts = [Draft(event=outlook, new_book=True, id=found.book), Draft(event=purchase, book=found.book)]
    try:
        return record(ledger, actor, drafts, request)
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=tuple(_of_purchase(each) for each in error.problems)) from error
    except ConflictError as error:
        if found.book is not None and _is_here(ledger, found.book):
            raise ConflictError(sentence=f"This one was bought already; it is book {found.book}.") from error
        raise


def _of_purchase(problem: Problem) -> Problem:
    """At its field of the purchase, which is the second of its act where an outlook comes first."""
    of_outlook = problem.field.startswith("events.0")
    return replace(problem, field="outlook" if of_outlook else problem.field.removeprefix("events.1."))


def _bought(found: Prospect, now: datetime) -> Prospect:
    return found if found.verdict is Verdict.BOUGHT else replace(found, verdict=Verdict.BOUGHT, decided=now)


def _is_here(ledger: Ledger, book: str) -> bool:
    with ledger.log.read() as reader, suppress(NotFoundError):
        reader.book_head(book)
        return True
    return False
