"""How a prospect is written: one of them after a change, and its pictures."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.market import MarketReader, MarketStore, MarketWriter, Prospect, Verdict
from ledger.ports import Ledger
from ledger.prospects import PICTURES_MOST
from ledger.usecases.browse import prospect_pictures

__all__ = [
    "add_pictures",
    "clean_of",
    "market_of",
    "moved",
    "need",
    "refuse",
    "still_open",
    "take_picture",
    "too_many_pictures",
]


def add_pictures(ledger: Ledger, actor: Actor, prospect: str, pictures: Sequence[bytes]) -> Prospect:
    """It has these pictures too.

    Raises: NotFoundError, InvalidError, ConflictError; MalformedError for a file that is no picture.
    """
    actor.require(Permission.RECORD)
    kept = [ledger.pictures.keep(data).clean for data in pictures[: PICTURES_MOST + 1]]

    def more(found: Prospect) -> Prospect:
        all_of_them = tuple(dict.fromkeys([*still_open(found).pictures, *kept]))
        if len(all_of_them) > PICTURES_MOST:
            raise InvalidError(problems=(too_many_pictures(),))
        return replace(found, pictures=all_of_them)

    return moved(ledger, actor, prospect, more)


def take_picture(ledger: Ledger, actor: Actor, prospect: str, sha256: str) -> Prospect:
    """It no longer names that picture."""
    return moved(
        ledger,
        actor,
        prospect,
        lambda found: replace(found, pictures=tuple(each for each in found.pictures if each != sha256)),
    )


def clean_of(ledger: Ledger, named: Sequence[str]) -> list[str]:
    """The clean copies of pictures that are kept; an original is never shown, so its clean copy takes its place.

    Raises: InvalidError, naming the digests under which nothing is kept.
    """
    refuse(
        [
            Problem(field=f"pictures.{place}", sentence="No picture of that digest is kept. Send it first.")
            for place, sha256 in enumerate(named)
            if ledger.pictures.digest(sha256) != sha256
        ]
    )
    shown = prospect_pictures(ledger)
    with ledger.log.read() as reader:
        shown |= {sha256 for sha256 in named if reader.is_clean(sha256)}
    return [each if each in shown else ledger.pictures.keep(ledger.pictures.read(each)).clean for each in named]


def market_of(ledger: Ledger) -> MarketStore:
    """Where it is kept what the market told.

    Raises: ConflictError for a ledger that is open for reading only.
    """
    if ledger.market is None:
        raise ConflictError(sentence="This ledger is open for reading only, and keeps nothing beside it.")
    return ledger.market


def moved(ledger: Ledger, actor: Actor, prospect: str, change: Callable[[Prospect], Prospect]) -> Prospect:
    """The prospect after a change, kept.

    Raises: NotFoundError; whatever the change raises, and then nothing is kept.
    """
    actor.require(Permission.RECORD)

    def work(writer: MarketWriter) -> Prospect:
        found = need(writer, prospect)
        after = change(found)
        if after != found:
            writer.put_prospect(after)
        return after

    return market_of(ledger).write(work)


def still_open(found: Prospect) -> Prospect:
    """The same one.

    Raises: ConflictError where it was bought or passed up.
    """
    if found.verdict is not Verdict.OPEN:
        mend = "Take that back first." if found.verdict is Verdict.PASSED_UP else "Write to its book."
        raise ConflictError(sentence=f"This one was {found.verdict.value}. {mend}")
    return found


def need(reader: MarketReader, prospect: str) -> Prospect:
    """The one of that id.

    Raises: NotFoundError.
    """
    found = reader.prospect(prospect)
    if found is None:
        raise NotFoundError(what="prospect", name=prospect)
    return found


def refuse(problems: Sequence[Problem]) -> None:
    """Raises: InvalidError where there are any."""
    if problems:
        raise InvalidError(problems=tuple(problems))


def too_many_pictures() -> Problem:
    """That there are more than a prospect has."""
    return Problem(field="pictures", sentence=f"{PICTURES_MOST} pictures are the most. Choose the ones that show most.")
