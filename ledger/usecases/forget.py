"""After an erasure: nothing is kept beside the ledger that shows what was erased, no record and no prospect."""

from collections.abc import Collection

from ledger.errors import LedgerError
from ledger.events.correction import NEW
from ledger.events.disclosure import Disclosure
from ledger.events.purchase import Purchase
from ledger.handing import HandingWriter
from ledger.market import MarketWriter, Prospect
from ledger.ports import Ledger, Reader
from ledger.prospects import without
from ledger.usecases.import_kept import all_begun, put_away_lost, take_begun
from ledger.usecases.stored import erased, readable

__all__ = ["forget_beside", "forget_lost", "forget_made", "forget_prospects", "forget_shown"]


def forget_beside(ledger: Ledger, erased_now: Collection[tuple[int, str]]) -> None:
    """Nothing beside the ledger shows these fields any more, now that they are erased."""
    forget_shown(ledger, erased_now)
    forget_prospects(ledger, erased_now)
    forget_imports(ledger)
    forget_made(ledger)


def forget_shown(ledger: Ledger, erased_now: Collection[tuple[int, str]] | None = None) -> int:
    """How many records were taken out since they show what was erased, with the links to them.

    `erased_now` are the fields that are meant; all that were ever erased where it is left out.

    Keeps: done again it changes nothing, so that one that was cut off is made up for at the next start.
    """
    if ledger.handing is None:
        return 0
    with ledger.log.read() as reader:
        gone = erased(reader) if erased_now is None else set(erased_now)
        events = {entry.seq: entry.event for entry in readable(reader, Disclosure.kind)} if gone else {}
    shown = {
        seq
        for seq, event in events.items()
        if isinstance(event, Disclosure) and any((each.entry, each.name) in gone for each in event.opened)
    }
    with ledger.handing.read() as beside:
        records = [each for each in beside.all_records() if not each.received and each.seq in shown] if shown else []
        links = [link for each in records for link in beside.links(each.book) if link.record == each.sha256]

    def work(writer: HandingWriter) -> None:
        for link in links:
            writer.take_link(link.id)
        for each in records:
            writer.take_record(each.sha256)

    if records:
        ledger.handing.write(work)
    return len(records)


def forget_imports(ledger: Ledger) -> int:
    """How many tables on their way in were put away, since what was erased may stand in any of them."""
    if ledger.tables is None or ledger.care is None:
        return 0
    ledger.tables.drop_all()
    with ledger.care.read() as care:
        waiting = [each for each in all_begun(care) if each.done is None]
    for each in waiting:
        take_begun(ledger, each.id)
    return len(waiting)


def forget_lost(ledger: Ledger, *, alone: bool) -> int:
    """How many tables on their way in were put away, since a backup that was put back had no rows of them.

    `alone` says that no other program serves the ledger, which may have the rows in a folder of its own.
    """
    if ledger.tables is None or ledger.care is None or not alone:
        return 0
    return put_away_lost(ledger.care, ledger.tables.here)


def forget_made(ledger: Ledger) -> int:
    """How many archives and catalogues were taken away, since what was erased may stand in any; no more is made of one.

    Keeps: files that an earlier program left behind go as well; another program that serves the same ledger from another
    folder has its own, for a day at most.
    """
    return sum(kept.empty() for kept in (ledger.exports, ledger.catalogues) if kept is not None)


def forget_prospects(ledger: Ledger, erased_now: Collection[tuple[int, str]] | None = None) -> int:
    """Out of how many prospects something was taken, since it was erased from the purchase of the book they became.

    `erased_now` as of `forget_shown`. Keeps: done again it changes nothing.
    """
    if ledger.market is None:
        return 0
    with ledger.market.read() as market:
        became = [each for each in market.prospects() if each.book is not None]
    if not became:
        return 0
    with ledger.log.read() as reader:
        gone = erased(reader) if erased_now is None else set(erased_now)
        names = _by_book(reader, gone)

    def work(writer: MarketWriter) -> int:
        # Read anew: between the two, somebody may have changed one.
        kept = (writer.prospect(each.id) for each in became)
        fewer = [(each, without(each, names.get(each.book or "", ()))) for each in kept if each is not None]
        return sum(_put(writer, after) for before, after in fewer if after != before)

    return ledger.market.write(work) if names else 0


def _put(writer: MarketWriter, prospect: Prospect) -> int:
    writer.put_prospect(prospect)
    return 1


def _by_book(reader: Reader, gone: Collection[tuple[int, str]]) -> dict[str, set[str]]:
    """Names of erased fields by the book whose purchase, or whose correction of it, had them."""
    found: dict[str, set[str]] = {}
    for seq, name in gone:
        try:
            entry = reader.entry(seq)
        except LedgerError:
            continue
        if entry.book is not None and (isinstance(entry.event, Purchase) or name.startswith(NEW)):
            found.setdefault(entry.book, set()).add(name.removeprefix(NEW))
    return found
